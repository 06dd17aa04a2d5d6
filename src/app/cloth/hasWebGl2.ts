/** Whether WebGL 2 with whole-precision fragment floats is there; asked on a canvas that is given up at once. */
export function hasWebGl2(): boolean {
  const gl = document.createElement('canvas').getContext('webgl2');
  if (!gl) return false;
  // 23 bits of fraction: less cannot tell positions across a cloth apart.
  const enough = (gl.getShaderPrecisionFormat(gl.FRAGMENT_SHADER, gl.HIGH_FLOAT)?.precision ?? 0) >= 23;
  gl.getExtension('WEBGL_lose_context')?.loseContext();
  return enough;
}
