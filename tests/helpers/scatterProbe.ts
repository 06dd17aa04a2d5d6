import { toHalf } from '#engine/packing/halfFloat.ts';
import { scatterDefines } from '#engine/scatter/opticsLayout.ts';
import { BLOCK_FLOATS, type ScatterTable, TABLE_LEVELS, TABLE_NODES } from '#engine/scatter/scatterLayout.ts';
import { composeShader, nameFiles } from '#render/shaderSource.ts';

/** Texels of input a pixel. */
export const PROBE_TEXELS = 8;

const VERTEX = `#version 300 es
void main() {
  gl_Position = vec4(vec2(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0), 0.0, 1.0);
}`;

/**
 * Runs `main` over a row of pixels in WebGL 2, with the scattering shaders before it, and returns what it puts out: one
 * RGBA a pixel. In `main`, `probe(k)` is the k-th of the pixel's `PROBE_TEXELS` inputs.
 * @throws with the compiler's log
 */
export function runScatterProbe(table: ScatterTable, inputs: Float32Array, main: string, constant = ''): Float32Array {
  const pixels = inputs.length / (4 * PROBE_TEXELS);
  const canvas = document.createElement('canvas');
  const gl = canvas.getContext('webgl2')!;
  if (!gl.getExtension('EXT_color_buffer_float')) throw new Error('this browser renders no float textures');
  const compile = (type: number, source: string, log: (text: string) => string): WebGLShader => {
    const shader = gl.createShader(type)!;
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(log(gl.getShaderInfoLog(shader) ?? ''));
    return shader;
  };
  const scatter = composeShader('scatter/sample.glsl', scatterDefines);
  const tilt = composeShader('scatter/tilt.glsl', {}).source.replace(/precision [^;]*;/g, '');
  const fragment = `#version 300 es
${scatter.source}
${tilt}
uniform highp sampler2D uProbe;
out highp vec4 outValue;
vec4 probe(int k) {
  return texelFetch(uProbe, ivec2(k, int(gl_FragCoord.x)), 0);
}
${constant}
void main() {
${main}
}`;
  const program = gl.createProgram()!;
  gl.attachShader(
    program,
    compile(gl.VERTEX_SHADER, VERTEX, (log) => log),
  );
  gl.attachShader(
    program,
    compile(gl.FRAGMENT_SHADER, fragment, (log) => nameFiles(log, scatter)),
  );
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program) ?? '');
  // biome-ignore lint/correctness/useHookAtTopLevel: a WebGL call, no hook
  gl.useProgram(program);

  gl.activeTexture(gl.TEXTURE0);
  gl.bindTexture(gl.TEXTURE_3D, gl.createTexture());
  const depth = (table.data.length / BLOCK_FLOATS) * TABLE_LEVELS;
  gl.texImage3D(
    gl.TEXTURE_3D,
    0,
    gl.RGBA16F,
    TABLE_NODES,
    TABLE_NODES,
    depth,
    0,
    gl.RGBA,
    gl.HALF_FLOAT,
    Uint16Array.from(table.data, toHalf),
  );
  for (const side of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T, gl.TEXTURE_WRAP_R]) {
    gl.texParameteri(gl.TEXTURE_3D, side, gl.CLAMP_TO_EDGE);
  }
  gl.texParameteri(gl.TEXTURE_3D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
  gl.texParameteri(gl.TEXTURE_3D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
  gl.uniform1i(gl.getUniformLocation(program, 'uScatterTable'), 0);

  gl.activeTexture(gl.TEXTURE1);
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, PROBE_TEXELS, pixels, 0, gl.RGBA, gl.FLOAT, inputs);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
  gl.uniform1i(gl.getUniformLocation(program, 'uProbe'), 1);

  gl.activeTexture(gl.TEXTURE2);
  const target = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, target);
  gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA32F, pixels, 1);
  gl.bindFramebuffer(gl.FRAMEBUFFER, gl.createFramebuffer());
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, target, 0);
  gl.viewport(0, 0, pixels, 1);
  gl.drawArrays(gl.TRIANGLES, 0, 3);
  const out = new Float32Array(pixels * 4);
  gl.readPixels(0, 0, pixels, 1, gl.RGBA, gl.FLOAT, out);
  const error = gl.getError();
  if (error !== gl.NO_ERROR) throw new Error(`WebGL error ${error}`);
  gl.getExtension('WEBGL_lose_context')?.loseContext();
  return out;
}
