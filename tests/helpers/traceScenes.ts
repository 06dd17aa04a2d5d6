import type { LinearRgb } from '#engine/colour/colour.ts';
import {
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MAX_FACES,
  MAX_STOPS,
  STOPS_TEXEL,
  STRAND_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { SURFACE_KINDS } from '#engine/scatter/opticsLayout.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import type { ClothView } from '#render/clothView.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import type { TraceOptions } from '#render/pathTracer.ts';
import { type ClothFixture, clothFixture } from './clothFixtures.ts';
import { pack } from './clothProbe.ts';

/** Square-on, without perspective. */
export const LEVEL: Partial<ClothPose> = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };

/** Packed with a preset yarn's optics in place of the fixture's matte cotton. */
export async function packAs(fixture: ClothFixture, preset: string): Promise<PackedCloth> {
  const record = (await readAllYarnPresets()).find(({ id }) => id === preset)!;
  const optics = yarnOptics(record);
  const materials = fixture.materials.map(({ strands }) => ({
    strands: strands.map(({ coneColour }) => ({ coneColour, optics })),
  }));
  return pack({ ...fixture, materials });
}

/**
 * Sets what the scattering functions take (`fibreReflectance`, or a lacquer's T²) of every face itself, past the cone colour:
 * strands, backs, cores, a net's bars, paint and glitter, and all colours of each.
 */
export function setReflectance(cloth: PackedCloth, colour: LinearRgb): PackedCloth {
  for (let yarn = 0; yarn < cloth.materials; yarn++) {
    const at = yarn * MATERIAL_TEXELS * 4;
    cloth.materialTable.set(colour, at + 5);
    for (let face = 0; face < MAX_FACES; face++) {
      cloth.materialTable.set(colour, at + (MATERIAL_HEADER_TEXELS + face * STRAND_TEXELS) * 4);
    }
    for (let stop = 0; stop < MAX_STOPS; stop++) cloth.materialTable.set(colour, at + (STOPS_TEXEL + stop) * 4);
  }
  return cloth;
}

/** As `setReflectance` of white, and metal that returns all light: a furnace's cloth. */
export function setWhite(cloth: PackedCloth): PackedCloth {
  setReflectance(cloth, [1, 1, 1]);
  for (let yarn = 0; yarn < cloth.materials; yarn++) {
    for (let face = 0; face < MAX_FACES; face++) {
      const optics = (yarn * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + face * STRAND_TEXELS + 1) * 4;
      if (SURFACE_KINDS[cloth.materialTable[optics]] === 'metal') cloth.materialTable[optics + 5] = 1;
    }
  }
  return cloth;
}

/** A wound card: touching round turns, 1 mm thick, on a flat ground of the same colour. */
export function woundCard(colour: LinearRgb): ClothFixture {
  return clothFixture({
    ends: 16,
    rows: 16,
    warpUp: () => true,
    warp: [{ widthMm: 1, heightMm: 1, colour }],
    weft: [{ widthMm: 1.02, heightMm: 0.02, colour, strip: true }],
  });
}

/** A balanced plain cloth of plied yarns. */
export function plainCloth(warp: LinearRgb, weft: LinearRgb, plies = 2): ClothFixture {
  const yarn = { widthMm: 0.9, heightMm: 0.6, plies, turnsPerM: 200 };
  return clothFixture({ ends: 14, rows: 14, warp: [{ ...yarn, colour: warp }], weft: [{ ...yarn, colour: weft }] });
}

/** RGBA, linear light, bottom row first. */
export async function traced(
  view: ClothView,
  width: number,
  height: number,
  samples: number,
  options: TraceOptions = {},
): Promise<Float32Array> {
  const tracer = view.traceReference(width, height, options);
  try {
    await tracer.run(samples);
    return await tracer.readLinear();
  } finally {
    tracer.dispose();
  }
}

/** Mean colour of a traced picture. */
export function meanOf(picture: Float32Array): LinearRgb {
  const sums = [0, 0, 0];
  for (let k = 0; k < picture.length; k += 4) for (let c = 0; c < 3; c++) sums[c] += picture[k + c];
  const count = picture.length / 4;
  return [sums[0] / count, sums[1] / count, sums[2] / count];
}
