import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Reading } from '#engine/units/reading.ts';
import type { ClothStates } from './clothStates.ts';

/** How wide and how long the cloth is, from the reed to its finish. */
export interface ClothSizes {
  readonly reedWidthMm: number;
  /** Widest and narrowest place of the cloth are told where it is not even. */
  readonly fellWidthMm: Reading;
  readonly offLoomWidthMm: Reading;
  readonly finishedWidthMm: Reading;
  readonly onLoomLengthMm: Reading;
  readonly offLoomLengthMm: Reading;
  readonly finishedLengthMm: Reading;
}

const certain = (value: number): Reading => ({ value, low: value, high: value });

/** Sizes over the outermost threads' outer edges, half a spacing beyond their centres. */
export function clothSizes(problem: ClothProblem, states: ClothStates): ClothSizes {
  const { endXMm, ends, rows } = problem;
  const span = endXMm[ends - 1] - endXMm[0];
  const reedWidthMm = ends > 1 ? (span * ends) / (ends - 1) : 0;
  const lengthOf = ({ rowYMm }: ClothStates['onLoom']) => (rows > 1 ? (rowYMm[rows - 1] * rows) / (rows - 1) : 0);
  const width = ({ widthShare }: ClothStates['onLoom']) => certain(reedWidthMm * widthShare);
  const { onLoom, offLoom, finished } = states;
  return {
    reedWidthMm,
    fellWidthMm: width(onLoom),
    offLoomWidthMm: width(offLoom),
    finishedWidthMm: width(finished),
    onLoomLengthMm: certain(lengthOf(onLoom)),
    offLoomLengthMm: certain(lengthOf(offLoom)),
    finishedLengthMm: certain(lengthOf(finished)),
  };
}
