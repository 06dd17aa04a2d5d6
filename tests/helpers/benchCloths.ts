import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Crew } from '#engine/cloth/crew.ts';
import { type ForecastMemory, forecastCloth, type Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { beginPacking, type PackingBegun } from '#engine/packing/beginPacking.ts';
import { packInSteps } from '#engine/packing/packCloth.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { strandOf } from './clothFixtures.ts';
import { clothProblem, roundBody } from './problems.ts';

/** A picture without a repeat: 8-end satins shaded from weft to warp face across and up. */
export function shadedPicture(rows: number, ends: number): Drawdown {
  const weave = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      const tone = 1 + Math.floor((6.99 * (row + end)) / (rows + ends - 1));
      setWarpUp(weave, row, end, (end + 8 * rows - 3 * row) % 8 < tone);
    }
  }
  return weave;
}

export interface PictureCloths {
  readonly picture: ClothProblem;
  /** Beaten some 3 % closer. */
  readonly firmer: ClothProblem;
  /** Ten crossings in a row lie the other way up. */
  readonly turned: ClothProblem;
  readonly materials: readonly YarnMaterial[];
}

/** The shaded picture in 20/2 cotton at 16 ends a cm, and two edits of it. */
export function pictureCloths(rows: number, ends: number): PictureCloths {
  const yarn = roundBody('20/2', 0.287, 0.0082, 59.05);
  const weave = shadedPicture(rows, ends);
  const picture = clothProblem({ weave, rows, ends, endsPerCm: 16, warp: [yarn], weft: [yarn] });
  const firmness = picture.beat.firmness.map((f) => f + 0.03);
  const drawdown = { ...picture.drawdown, bits: picture.drawdown.bits.slice() };
  for (let k = 0; k < 10; k++) setWarpUp(drawdown, 100 + k, 200 + k, !isWarpUp(drawdown, 100 + k, 200 + k));
  return {
    picture,
    firmer: { ...picture, beat: { ...picture.beat, firmness } },
    turned: { ...picture, drawdown },
    materials: picture.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] })),
  };
}

/** All that the worker does for one answer, with what it would report on the way. */
export function* answer(
  problem: ClothProblem,
  materials: readonly YarnMaterial[],
  quality: Quality,
  memory: ForecastMemory,
  crew?: Crew,
): Generator<Progress, void> {
  const begun: PackingBegun[] = [];
  const ready = (there: ClothProblem, geometry: ClothGeometry) => {
    begun.push(beginPacking(there, geometry, materials, crew));
  };
  const woven = yield* forecastCloth(problem, quality, memory, undefined, crew, ready);
  yield* packInSteps(woven.problem, woven.geometry, materials, woven.readings.weftTakeUp.value, [], crew, begun[0]);
}
