import type { LinearRgb } from '#engine/colour/colour.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { hairOfStrands } from '#engine/yarn/bundleHair.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import { clothFixture } from './clothFixtures.ts';
import { pack } from './clothProbe.ts';
import type { YarnPlace } from './yarnProbe.ts';

export interface YarnsOfShelf {
  readonly cloth: PackedCloth;
  readonly records: readonly YarnRecord[];
  /** Row of the k-th yarn, and its material. */
  readonly rowOf: (yarn: number) => number;
  readonly materialOf: (yarn: number) => number;
}

/** Yarns of the shelf as wefts, a row each, with all that they have. */
export async function yarnsOfShelf(ids: readonly string[]): Promise<YarnsOfShelf> {
  const presets = await readAllYarnPresets();
  const records = ids.map((id) => {
    const record = presets.find((one) => one.id === id);
    if (!record) throw new Error(`no preset yarn ${id}`);
    return record;
  });
  const bodies = records.map((record) => yarnBody(yarnFactsOf(record)));
  const pitchMm = 1.2 * Math.max(...bodies.map((body) => body.bodyWidthMm));
  const fixture = clothFixture({
    ends: 12,
    rows: ids.length,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: bodies.map((body) => ({ widthMm: body.bodyWidthMm, heightMm: body.bodyHeightMm })),
    rowYarn: (row) => row,
    endX: (end) => end * pitchMm,
    rowY: (row) => row * pitchMm,
  });
  const problem = { ...fixture.problem, yarns: [fixture.problem.yarns[0], ...bodies] };
  const materials = [fixture.materials[0], ...records.map((record) => yarnMaterial([record]))];
  return { cloth: pack({ ...fixture, problem, materials }), records, rowOf: (k) => k, materialOf: (k) => k + 1 };
}

export interface ShelfCloth {
  readonly cloth: PackedCloth;
  /** From one thread to the next, both ways. */
  readonly pitchMm: number;
  readonly middleMm: readonly [number, number];
}

/**
 * Plain, of a warp, blue by default, and one of the shelf's yarns with all that it has as weft, side by side.
 * @param hairShare of its hairs, which are kept
 */
export async function shelfCloth(
  id: string,
  threads = 120,
  hairShare = 1,
  warpColour: LinearRgb = [0.1, 0.2, 0.5],
): Promise<ShelfCloth> {
  const record = (await readAllYarnPresets()).find((one) => one.id === id);
  if (!record) throw new Error(`no preset yarn ${id}`);
  const body = yarnBody(yarnFactsOf(record));
  const pitchMm = 1.1 * body.bodyWidthMm;
  const warp = { widthMm: 0.35 * pitchMm, heightMm: 0.25 * pitchMm, colour: warpColour };
  const fixture = clothFixture({
    ends: threads,
    rows: threads,
    warp: [warp],
    weft: [{ widthMm: body.bodyWidthMm, heightMm: body.bodyHeightMm, strip: body.shape === 'strip' }],
    endX: (end) => end * pitchMm,
    rowY: (row) => row * pitchMm,
    periodEnds: 2,
    periodRows: 2,
  });
  const problem = { ...fixture.problem, yarns: [fixture.problem.yarns[0], body] };
  const hair = hairOfStrands([record]);
  const kept = hair && { ...hair, perMm: hairShare * hair.perMm };
  const materials = [fixture.materials[0], yarnMaterial([record], kept)];
  const middle = ((threads - 1) / 2) * pitchMm;
  return { cloth: pack({ ...fixture, problem, materials }), pitchMm, middleMm: [middle, middle] };
}

/** A place on the k-th yarn's body. */
export function placeOn(
  { cloth, rowOf, materialOf }: YarnsOfShelf,
  yarn: number,
  { around, alongMm, pixelMm }: Pick<YarnPlace, 'around' | 'alongMm' | 'pixelMm'>,
): YarnPlace {
  const row = rowOf(yarn);
  const at = row * 3 * 4;
  const [halfWidthMm, halfHeightMm] = [cloth.rowTable[at + 1], cloth.rowTable[at + 2]];
  return {
    around: Math.fround(around),
    alongMm: Math.fround(alongMm),
    pixelMm: Math.fround(pixelMm),
    halfWidthMm,
    halfHeightMm,
    radiusMm: Math.fround(0.5 * (halfWidthMm + halfHeightMm)),
    swell: 1,
    material: materialOf(yarn),
    thread: 2 * row,
  };
}

/** Strewn over a yarn's girth and so much of its length, from `seed`. */
export function placesOn(
  shelf: YarnsOfShelf,
  yarn: number,
  count: number,
  lengthMm: number,
  pixelMm: number,
  seed: number,
): YarnPlace[] {
  return Array.from({ length: count }, (_, k) =>
    placeOn(shelf, yarn, {
      around: 2 * Math.PI * (hashUniform(seed, k) - 0.5),
      alongMm: lengthMm * (hashUniform(seed + 1, k) - 0.3),
      pixelMm,
    }),
  );
}
