import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import { around, type Reading } from '#engine/units/reading.ts';
import type { ClothStates } from './clothStates.ts';
import { type OutlinePoint, outlinePoints } from './outline.ts';
import type { SizeDoubts } from './sizeDoubts.ts';
import type { ClothState, StateSpacing } from './stateTypes.ts';

/** How wide and how long the cloth is, from the reed to its finish. */
export interface ClothSizes {
  readonly reedWidthMm: number;
  readonly fellWidthMm: Reading;
  readonly offLoomWidthMm: Reading;
  readonly finishedWidthMm: Reading;
  readonly onLoomLengthMm: Reading;
  readonly offLoomLengthMm: Reading;
  readonly finishedLengthMm: Reading;
}

/** How wide the cloth is along its length, in each state. */
export type ClothOutlines = Readonly<Record<ClothState, readonly OutlinePoint[]>>;

export function clothOutlines(problem: ClothProblem, states: ClothStates): ClothOutlines {
  const { spanMm, pitchMm } = endSpan(problem);
  const of = ({ widthByRow, rowYMm }: StateSpacing) => outlinePoints(widthByRow, rowYMm, spanMm + pitchMm);
  return { onLoom: of(states.onLoom), offLoom: of(states.offLoom), finished: of(states.finished) };
}

/**
 * A length along the warp with what is not known of its state (a share) and of its beat.
 * @param picks per cm over the likeliest, [least, most]
 */
export function lengthAround(mm: number, doubt: number, [fewest, most]: readonly [number, number]): Reading {
  const [shorter, longer] = [1 - 1 / most, 1 / fewest - 1];
  return { value: mm, low: mm * (1 - Math.hypot(doubt, shorter)), high: mm * (1 + Math.hypot(doubt, longer)) };
}

/**
 * Sizes over the outermost threads' outer edges, half a spacing beyond their centres.
 * @param picks per cm over the likeliest, [least, most]
 */
export function clothSizes(
  problem: ClothProblem,
  states: ClothStates,
  doubts: SizeDoubts,
  picks: readonly [number, number],
): ClothSizes {
  const { ends, rows } = problem;
  const { spanMm } = endSpan(problem);
  const reedWidthMm = ends > 1 ? (spanMm * ends) / (ends - 1) : 0;
  const lengthOf = ({ rowYMm }: ClothStates['onLoom']) => (rows > 1 ? (rowYMm[rows - 1] * rows) / (rows - 1) : 0);
  const width = ({ widthShare }: ClothStates['onLoom'], doubt: number) => around(reedWidthMm * widthShare, doubt);
  const length = (state: ClothStates['onLoom'], doubt: number) => lengthAround(lengthOf(state), doubt, picks);
  const { onLoom, offLoom, finished } = states;
  return {
    reedWidthMm,
    fellWidthMm: width(onLoom, doubts.onLoom.width),
    offLoomWidthMm: width(offLoom, doubts.offLoom.width),
    finishedWidthMm: width(finished, doubts.finished.width),
    onLoomLengthMm: length(onLoom, doubts.onLoom.length),
    offLoomLengthMm: length(offLoom, doubts.offLoom.length),
    finishedLengthMm: length(finished, doubts.finished.length),
  };
}
