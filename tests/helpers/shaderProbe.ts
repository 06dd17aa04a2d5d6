import { type ComposedShader, nameFiles } from '#render/shaderSource.ts';

/** Texels of input a pixel. */
export const PROBE_TEXELS = 8;

const VERTEX = `#version 300 es
void main() {
  gl_Position = vec4(vec2(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0), 0.0, 1.0);
}`;

export interface ShaderProbe {
  /** What `main` calls; messages name the files of the first. */
  readonly shaders: readonly ComposedShader[];
  /** RGBA a texel, `PROBE_TEXELS` texels a pixel; in `main`, `probe(k)` is the pixel's k-th. */
  readonly inputs: Float32Array;
  /** Has to set `outValue`. */
  readonly main: string;
  /** Text before `main`. */
  readonly constant?: string;
  /** Binds what the shaders read beside the inputs; texture units from 2 on are free. */
  readonly bind?: (gl: WebGL2RenderingContext, program: WebGLProgram) => void;
}

/**
 * Runs `main` over a row of pixels in WebGL 2, with the shaders before it, and returns what it puts out: one RGBA a pixel.
 * @throws with the compiler's log
 */
export function runShaderProbe({ shaders, inputs, main, constant = '', bind }: ShaderProbe): Float32Array {
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
  const sources = shaders.map(({ source }, k) => (k === 0 ? source : source.replace(/precision [^;]*;/g, '')));
  const fragment = `#version 300 es
${sources.join('\n')}
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
    compile(gl.FRAGMENT_SHADER, fragment, (log) => nameFiles(log, shaders[0])),
  );
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program) ?? '');
  // biome-ignore lint/correctness/useHookAtTopLevel: a WebGL call, no hook
  gl.useProgram(program);
  bindTable(gl, program, 1, 'uProbe', inputs, PROBE_TEXELS);
  bind?.(gl, program);

  gl.activeTexture(gl.TEXTURE0);
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

/** A table of RGBA floats in rows of `width` texels as a texture that is read texel by texel. */
export function bindTable(
  gl: WebGL2RenderingContext,
  program: WebGLProgram,
  unit: number,
  name: string,
  table: Float32Array,
  width: number,
): void {
  gl.activeTexture(gl.TEXTURE0 + unit);
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, width, table.length / 4 / width, 0, gl.RGBA, gl.FLOAT, table);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
  gl.uniform1i(gl.getUniformLocation(program, name), unit);
}
