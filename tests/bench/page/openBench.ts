import * as THREE from 'three';

/**
 * The page's own lines, a renderer of so many pixels that names the GPU in the first of them, and what shaders have to say. The
 * page counts as loaded, and is read, only once it says that it is done.
 */
export function openBench(width: number, height: number) {
  const result = document.getElementById('result') as HTMLElement;
  const holding = document.createElement('iframe');
  document.body.append(holding);
  holding.contentDocument?.open();
  const say = (line: string) => {
    result.textContent += `${line}\n`;
    if (line !== 'done') return;
    holding.contentDocument?.close();
    holding.remove();
  };
  const renderer = new THREE.WebGLRenderer({ canvas: document.createElement('canvas'), antialias: false });
  renderer.setSize(width, height, false);
  renderer.autoClear = false;
  const gl = renderer.getContext() as WebGL2RenderingContext;
  const info = gl.getExtension('WEBGL_debug_renderer_info');
  say(`\nrenderer: ${gl.getParameter(info ? info.UNMASKED_RENDERER_WEBGL : gl.RENDERER)}`);
  renderer.debug.onShaderError = (g, p, v, f) => {
    say(`shader: ${g.getShaderInfoLog(f)} ${g.getProgramInfoLog(p)} ${g.getShaderInfoLog(v)}`);
  };
  return { renderer, say };
}
