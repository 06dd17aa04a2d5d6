import { type Kind, kindsOfPrograms } from './compileKinds.ts';
import { openBench } from './openBench.ts';

/**
 * How long each kind of program takes to compile on this machine, s: linked and drawn once, with a number of its own in its text, so
 * that neither browser nor driver has seen it; the least of several turns, in which all kinds take part by turns.
 * `?turns=3&only=` (a pattern of names).
 */
const query = new URLSearchParams(location.search);
const turns = Number(query.get('turns') ?? 3);
const only = new RegExp(query.get('only') ?? '');
const { renderer, say } = openBench(16, 16);
const gl = renderer.getContext() as WebGL2RenderingContext;
const kinds = kindsOfPrograms().filter(({ name }) => only.test(name));

/** What a program draws to: targets of the kinds that it writes. Gives what lets go of them. */
function targetFor(program: WebGLProgram, fragment: string): () => void {
  const outputs = [...fragment.matchAll(/layout\(location = (\d)\) out highp (u?vec4) (\w+)/g)].filter(
    ([, location, , name]) => gl.getFragDataLocation(program, name) === Number(location),
  );
  const framebuffer = gl.createFramebuffer();
  const textures: WebGLTexture[] = [];
  gl.bindFramebuffer(gl.FRAMEBUFFER, framebuffer);
  for (const [, location, type] of outputs) {
    const texture = gl.createTexture();
    textures.push(texture);
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, 1, type === 'uvec4' ? gl.RGBA32UI : gl.RGBA8, 16, 16);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0 + Number(location), gl.TEXTURE_2D, texture, 0);
  }
  gl.bindTexture(gl.TEXTURE_2D, null);
  gl.drawBuffers(outputs.map((_, k) => gl.COLOR_ATTACHMENT0 + k));
  return () => {
    gl.deleteFramebuffer(framebuffer);
    for (const texture of textures) gl.deleteTexture(texture);
  };
}

/** One texel of each kind that samplers read. */
const TEXELS = new Map<number, readonly [target: number, format: number]>([
  [gl.SAMPLER_2D, [gl.TEXTURE_2D, gl.RGBA8]],
  [gl.SAMPLER_2D_ARRAY, [gl.TEXTURE_2D_ARRAY, gl.RGBA8]],
  [gl.SAMPLER_3D, [gl.TEXTURE_3D, gl.RGBA8]],
  [gl.UNSIGNED_INT_SAMPLER_2D, [gl.TEXTURE_2D, gl.RGBA32UI]],
  [gl.UNSIGNED_INT_SAMPLER_2D_ARRAY, [gl.TEXTURE_2D_ARRAY, gl.RGBA32UI]],
]);

/** Each sampler reads a unit of its own, as those of different kinds must. Gives what lets go of what they read. */
function bindSamplers(program: WebGLProgram): () => void {
  const textures: WebGLTexture[] = [];
  let unit = 0;
  for (let k = 0; k < gl.getProgramParameter(program, gl.ACTIVE_UNIFORMS); k++) {
    const { name, type } = gl.getActiveUniform(program, k) as WebGLActiveInfo;
    const texel = TEXELS.get(type);
    if (!texel) continue;
    const [target, format] = texel;
    gl.activeTexture(gl.TEXTURE0 + unit);
    const texture = gl.createTexture();
    textures.push(texture);
    gl.bindTexture(target, texture);
    if (target === gl.TEXTURE_2D) gl.texStorage2D(target, 1, format, 1, 1);
    else gl.texStorage3D(target, 1, format, 1, 1, 1);
    for (const filter of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(target, filter, gl.NEAREST);
    gl.uniform1i(gl.getUniformLocation(program, name), unit++);
  }
  gl.activeTexture(gl.TEXTURE0);
  return () => {
    for (const texture of textures) gl.deleteTexture(texture);
  };
}

// Floats hold whole numbers exactly up to 2^24: none is another's.
let salt = Math.floor(Math.random() * 2 ** 23);

/** Seconds until one draw has come back. */
function compile({ vertex, fragment, defines }: Kind): number {
  salt++;
  // No pixel lies left of the picture.
  const fresh = fragment.replace('void main() {', `void main() {\n  if (gl_FragCoord.x < -${salt}.0) discard;`);
  gl.viewport(0, 0, 16, 16);
  const program = gl.createProgram();
  const begun = performance.now();
  for (const [type, text] of [
    [gl.VERTEX_SHADER, vertex],
    [gl.FRAGMENT_SHADER, fresh],
  ] as const) {
    const shader = gl.createShader(type) as WebGLShader;
    gl.shaderSource(shader, `#version 300 es\n${defines}${text}`);
    gl.compileShader(shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(`${gl.getShaderInfoLog(shader)}`);
    gl.attachShader(program, shader);
    // Kept until its program goes.
    gl.deleteShader(shader);
  }
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(`${gl.getProgramInfoLog(program)}`);
  const deleteTargets = targetFor(program, fragment);
  // biome-ignore lint/correctness/useHookAtTopLevel: a WebGL call, no hook
  gl.useProgram(program);
  const deleteRead = bindSamplers(program);
  gl.drawArrays(gl.TRIANGLES, 0, 3);
  const whole = gl.getFramebufferAttachmentParameter(
    gl.FRAMEBUFFER,
    gl.COLOR_ATTACHMENT0,
    gl.FRAMEBUFFER_ATTACHMENT_COMPONENT_TYPE,
  );
  if (whole === gl.UNSIGNED_INT) gl.readPixels(0, 0, 1, 1, gl.RGBA_INTEGER, gl.UNSIGNED_INT, new Uint32Array(4));
  else gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  const took = performance.now() - begun;
  const error = gl.getError();
  if (error !== gl.NO_ERROR) throw new Error(`drawing: ${error}`);
  gl.deleteProgram(program);
  deleteRead();
  deleteTargets();
  return took / 1000;
}

const took = new Map<string, number[]>(kinds.map(({ name }) => [name, []]));
try {
  if (kinds.length > 0) compile(kinds[0]);
  for (let turn = 0; turn < turns; turn++) for (const kind of kinds) took.get(kind.name)?.push(compile(kind));
  for (const [name, times] of took)
    say(
      `${name}: ${times
        .sort((a, b) => a - b)
        .map((s) => s.toFixed(2))
        .join(' ')}`,
    );
} catch (error) {
  say(`failed: ${error instanceof Error ? error.stack : String(error)}`);
}
say('done');
