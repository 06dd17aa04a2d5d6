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

/** One linear-light colour all over a target. */
export function fillTarget(
  renderer: THREE.WebGLRenderer,
  target: THREE.WebGLRenderTarget,
  [r, g, b]: readonly [number, number, number],
): void {
  const colour = renderer.getClearColor(new THREE.Color());
  const alpha = renderer.getClearAlpha();
  target.scissorTest = false;
  renderer.setRenderTarget(target);
  renderer.setClearColor(new THREE.Color().setRGB(r, g, b, THREE.LinearSRGBColorSpace), 1);
  renderer.clear(true, false, false);
  renderer.setClearColor(colour, alpha);
}

/** What the renderer's canvas measures, device pixels. */
export function bufferSize(renderer: THREE.WebGLRenderer): THREE.Vector2 {
  return renderer.getDrawingBufferSize(new THREE.Vector2());
}
