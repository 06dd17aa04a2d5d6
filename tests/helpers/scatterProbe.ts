import { toHalf } from '#engine/packing/halfFloat.ts';
import { scatterDefines } from '#engine/scatter/opticsLayout.ts';
import { BLOCK_FLOATS, type ScatterTable, TABLE_LEVELS, TABLE_NODES } from '#engine/scatter/scatterLayout.ts';
import { composeShader } from '#render/shaderSource.ts';
import { runShaderProbe } from './shaderProbe.ts';

/** `main` over a row of pixels with the scattering shaders and this table before it (shaderProbe.ts). */
export function runScatterProbe(table: ScatterTable, inputs: Float32Array, main: string, constant = ''): Float32Array {
  const shaders = [composeShader('scatter/bounce.glsl', scatterDefines), composeShader('scatter/tilt.glsl', {})];
  return runShaderProbe({ shaders, inputs, main, constant, bind: (gl, program) => bindScatter(gl, program, table) });
}

function bindScatter(gl: WebGL2RenderingContext, program: WebGLProgram, table: ScatterTable): void {
  gl.activeTexture(gl.TEXTURE2);
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
  gl.uniform1i(gl.getUniformLocation(program, 'uScatterTable'), 2);
}
