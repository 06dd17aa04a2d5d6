import * as THREE from 'three';

/** Saves what our drawing changes in a renderer that others use too. */
export function withRenderer<T>(renderer: THREE.WebGLRenderer, draw: () => T): T {
  const { autoClear } = renderer;
  const target = renderer.getRenderTarget();
  renderer.autoClear = false;
  try {
    return draw();
  } finally {
    renderer.autoClear = autoClear;
    renderer.setRenderTarget(target);
  }
}

/** What the renderer's canvas measures, device pixels. */
export function bufferSize(renderer: THREE.WebGLRenderer): THREE.Vector2 {
  return renderer.getDrawingBufferSize(new THREE.Vector2());
}
