import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { beatResistance, FAIRLY_FIRM } from '#engine/cloth/spacing/beatLaw.ts';
import { meanPicksPerCm, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import type { StripPress } from '#engine/yarn/strip.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import type { SampleBody } from './schema/sampleSchema.ts';

/** Pushes within so much of each other, in powers of e, count as one: widths then differ by a fortieth at most. */
const PUSH_STEP = 0.05;

/** Powers of two of the beat meant within which the one that fixed picks need is looked for, and how often it is halved. */
const WIDEST_POWER = 6;
const HALVINGS = 12;

/** What strips have against them at one push: the ends' tension is that of the warp as a whole. */
export function stripPress(
  { ends, endXMm, endTensionN, endYarn }: Pick<ClothProblem, 'ends' | 'endXMm' | 'endTensionN' | 'endYarn'>,
  yarns: readonly YarnBody[],
): (pushNPerCm: number) => StripPress {
  const widthCm = (endXMm[ends - 1] - endXMm[0]) / 10;
  const sum = (of: (end: number) => number) => endYarn.reduce((total, _, end) => total + of(end), 0);
  const tensionNPerCm = widthCm > 0 ? sum((end) => endTensionN[end]) / widthCm : Number.POSITIVE_INFINITY;
  const endHeightMm = sum((end) => yarns[endYarn[end]].contactHeightMm) / ends;
  const firmNPerCm = beatResistance(FAIRLY_FIRM);
  const warp = { tensionNPerCm, endHeightMm };
  return (push) => ({
    pushNPerCm: firmNPerCm * Math.exp(PUSH_STEP * Math.round(Math.log(push / firmNPerCm) / PUSH_STEP)),
    firmNPerCm,
    warp,
  });
}

/** The hardest push that each row has had: of its own beat, which lies against the row before too. N per cm of width. */
export function pushOnRows({ rows, rowPick, beat }: Pick<ClothProblem, 'rows' | 'rowPick' | 'beat'>): Float64Array {
  const own = (row: number) => beatResistance(beat.firmness[rowPick[row]]) * (beat.resistanceFactor ?? 1);
  return Float64Array.from({ length: rows }, (_, row) => Math.max(own(row), own(Math.min(row + 1, rows - 1))));
}

/**
 * Over the beat meant, the one at which strips and picks per cm agree, where picks are fixed: strips fold until there is room. 1
 * where they are not; the hardest looked for where even that leaves too little room, which `rowPositions` then refuses.
 * @param woven the cloth with its strips beaten so many times as hard as meant
 */
export function beatThatStripsNeed(
  { fixedPicksPerCm }: Pick<SampleBody['beat'], 'fixedPicksPerCm'>,
  woven: (timesAsHard: number) => ClothProblem,
): number {
  if (fixedPicksPerCm === undefined) return 1;
  const picksAt = (power: number) => {
    const problem = woven(2 ** power);
    const { fixedPicksPerCm: _, resistanceFactor = 1, ...beat } = problem.beat;
    const harder = { ...problem, beat: { ...beat, resistanceFactor: resistanceFactor * 2 ** power } };
    return meanPicksPerCm(problem, rowPositions(harder, false).rowYMm);
  };
  let low = -WIDEST_POWER;
  let high = WIDEST_POWER;
  for (let pass = 0; pass < HALVINGS; pass++) {
    const middle = (low + high) / 2;
    if (picksAt(middle) < fixedPicksPerCm) low = middle;
    else high = middle;
  }
  return 2 ** high;
}
