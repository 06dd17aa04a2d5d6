import { shaderConstants, TABLE_WIDTH } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { composeShader } from '#render/shaderSource.ts';
import { bindTable, PROBE_TEXELS, runShaderProbe } from './shaderProbe.ts';

/** A place on a thread's surface, as the shader's `ThreadPlace` has it, and how wide a pixel is there. */
export interface YarnPlace {
  /** About the axis, rad: 0 sideways, a quarter turn up. */
  readonly around: number;
  readonly alongMm: number;
  readonly halfWidthMm: number;
  readonly halfHeightMm: number;
  readonly radiusMm: number;
  readonly swell: number;
  readonly material: number;
  /** row * 2, or end * 2 + 1. */
  readonly thread: number;
  readonly pixelMm: number;
}

const PLACE = `
ThreadPlace probedPlace() {
  vec4 a = probe(0);
  vec4 b = probe(1);
  ThreadPlace s;
  s.around = a.x;
  s.along = a.y;
  s.thread = int(a.z);
  s.material = int(a.w);
  s.halfSize = b.xy;
  s.radius = b.z;
  s.swell = b.w;
  s.part = meshPartFace(s.material, s.swell);
  s.axis = vec3(1.0, 0.0, 0.0);
  s.normal = normalize(vec3(0.0, cos(a.x) / b.x, sin(a.x) / b.y));
  return s;
}
`;

/**
 * `main` at each place, with all of shaders/yarn before it: there `s` is the place, `header` its material's first texel and
 * `pixelMm` its pixel. One RGBA a place.
 */
export function runYarnProbe(cloth: PackedCloth, places: readonly YarnPlace[], main: string): Float32Array {
  const inputs = new Float32Array(places.length * PROBE_TEXELS * 4);
  places.forEach((place, k) => {
    const { around, alongMm, thread, material, halfWidthMm, halfHeightMm, radiusMm, swell, pixelMm } = place;
    inputs.set(
      [around, alongMm, thread, material, halfWidthMm, halfHeightMm, radiusMm, swell, pixelMm],
      k * PROBE_TEXELS * 4,
    );
  });
  const prepare = `
  ThreadPlace s = probedPlace();
  float pixelMm = probe(2).x;
  vec4 header = texelFetch(uMaterialTable, tableAt(s.material * MATERIAL_TEXELS), 0);
`;
  return runShaderProbe({
    shaders: [
      composeShader('cloth/buffers.glsl', { ...shaderConstants(), HAIR: '', MESH: '' }),
      composeShader('common/encode.glsl', {}),
      composeShader('yarn/plies.glsl', {}),
    ],
    inputs,
    constant: PLACE,
    main: prepare + main,
    bind: (gl, program) => {
      bindTable(gl, program, 2, 'uMaterialTable', cloth.materialTable, TABLE_WIDTH);
      bindTable(gl, program, 3, 'uRowTable', cloth.rowTable, TABLE_WIDTH);
      bindTable(gl, program, 4, 'uEndTable', cloth.endTable, TABLE_WIDTH);
      gl.uniform1i(gl.getUniformLocation(program, 'uLoopMost'), 1 << 20);
    },
  });
}
