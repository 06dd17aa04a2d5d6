import type { Cutting } from '#engine/cloth/after/afterTypes.ts';
import { applyCuts, type CutCloth } from '#engine/cloth/after/applyCuts.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { ClothFixture } from './clothFixtures.ts';

const known = (value: number) => ({ value, low: value, high: value });

/** Readings whose figures are round, to see what cutting makes of them. */
export const roundReadings: Readings = {
  picksPerCm: known(10),
  endsPerCm: 10,
  widthMm: 100,
  lengthMm: { value: 100, low: 90, high: 110 },
  thicknessMm: known(1),
  weightGPerM2: known(200),
  face: { warp: 0.5, weft: 0.5, open: 0 },
  back: { warp: 0.5, weft: 0.5, open: 0 },
  warpTakeUp: 0,
  weftTakeUp: 0,
};

/** A fixture cut after the loom. */
export function cutFixture(cloth: ClothFixture, cuttings: readonly Cutting[]): ClothFixture & CutCloth {
  return { ...cloth, ...applyCuts(cloth.problem, cloth.geometry, roundReadings, cuttings) };
}
