import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { firmnessOfResistance } from '#engine/cloth/spacing/beatLaw.ts';
import { type Hold, rowHolds, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import type { Millimetres, PerCentimetre } from '#engine/units/units.ts';
import type { SwatchBeat } from './loomBeat.ts';

/** A count of picks is right to half a pick at either end of the ruler: standard deviation of two uniform errors. */
const COUNT_SD_PICKS = Math.sqrt(2 / 12);

export interface FittedBeat extends SwatchBeat {
  /** Firmness on this program's scale that the beat came to, with nothing known of the loom. May lie outside 0..1. */
  readonly firmness: number;
}

/** The same cloth with other picks per cm fixed, its loom unknown. */
function withPicks(problem: ClothProblem, picksPerCm: PerCentimetre): ClothProblem {
  const { resistanceFactor: _factor, resistanceDoubt: _doubt, ...beat } = problem.beat;
  return { ...problem, beat: { ...beat, fixedPicksPerCm: picksPerCm } };
}

function meanLogResistance(problem: ClothProblem, holds: readonly Hold[]): number {
  const { resistanceNPerCm } = rowPositions(problem, false, holds);
  return resistanceNPerCm.reduce((sum, r) => sum + Math.log(r), 0) / resistanceNPerCm.length;
}

/**
 * The beat that gave the picks counted on the loom: R of the law at that spacing, over R of the firmness that the sample
 * says. The doubt is what half a pick at either end of the counted length makes of it, near the jam more than in the open.
 * @param picksPerCm counted under tension; @param overMm on what length
 * @throws ClothError 'jams' where the yarns of the problem cannot lie so close: then a card is wrong, not the beat
 */
export function fitBeat(problem: ClothProblem, picksPerCm: PerCentimetre, overMm: Millimetres): FittedBeat {
  if (!(picksPerCm > 0 && overMm > 0)) {
    throw new RangeError(`${picksPerCm} picks/cm over ${overMm} mm: give the picks counted and the length, above 0`);
  }
  const holds = rowHolds(problem);
  const { fixedPicksPerCm: _fixed, resistanceFactor: _factor, ...asSaid } = problem.beat;
  const said = meanLogResistance({ ...problem, beat: asSaid }, holds);
  const found = meanLogResistance(withPicks(problem, picksPerCm), holds);
  const step = (10 * COUNT_SD_PICKS) / overMm;
  const fewer = meanLogResistance(withPicks(problem, Math.max(picksPerCm / 2, picksPerCm - step)), holds);
  return {
    beatFactor: Math.exp(found - said),
    logDoubt: Math.min(2, Math.max(0.001, found - fewer)),
    firmness: firmnessOfResistance(Math.exp(found)),
  };
}
