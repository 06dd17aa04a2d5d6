import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import type { Reading } from '#engine/units/reading.ts';
import { type ClothStates, STATE_MODEL, settleStates } from './clothStates.ts';
import { type OutlinePoint, outlinePoints } from './outline.ts';
import type { ClothState, StateModel, StateSpacing } from './stateTypes.ts';
import type { Treatment } from './treatments.ts';

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

/** Shares of themselves by which sizes may differ, 80 in 100, for what is not known. */
export interface SizeDoubts {
  readonly fell: number;
  readonly offWidth: number;
  readonly finishedWidth: number;
  readonly offLength: number;
  readonly finishedLength: number;
}

const around = (value: number, doubt: number): Reading => ({
  value,
  low: value * (1 - doubt),
  high: value * (1 + doubt),
});

/** What is not known, as the half of its 80 % interval on the side that is tried. Estimates; see docs/forecast.md. */
export const STATE_UNKNOWNS: readonly Partial<StateModel>[] = [
  { weftSlackShare: STATE_MODEL.weftSlackShare + 0.02 },
  { fellTensionShare: 2 * STATE_MODEL.fellTensionShare },
  { swellingKept: 1.6 * STATE_MODEL.swellingKept },
  { shrinkAt: 0.9 },
  { thicknessFactor: 1.06 },
  { tensionFactor: 1.4 },
  { hardnessFactor: 1 / 3 },
];
/** What the model itself leaves out (friction, the way an edge is drawn in): off the loom, and after a finish. */
export const MODEL_DOUBT = { loom: 0.012, off: 0.015, finished: 0.025 };
const SMALL_WINDOW = { rows: 24, ends: 24 };

export interface DoubtsJob {
  readonly problem: ClothProblem;
  readonly rowYMm: Float64Array;
  readonly treatment: Treatment;
  readonly region: SolvedRegion;
}

/** Tries each unknown for itself; their effects, taken as independent, add as squares. */
function* tryUnknowns({ problem, rowYMm, treatment, region }: DoubtsJob): Generator<Progress, SizeDoubts> {
  const options = { treatment, region, windows: 1, windowSize: SMALL_WINDOW, memory: {} };
  const base = sizeShares(yield* settleStates(problem, rowYMm, options));
  const squares = base.map(() => 0);
  for (const change of STATE_UNKNOWNS) {
    const states = yield* settleStates(problem, rowYMm, { ...options, model: { ...STATE_MODEL, ...change } });
    sizeShares(states).forEach((size, k) => {
      squares[k] += (size / base[k] - 1) ** 2;
    });
  }
  const floors = [MODEL_DOUBT.loom, MODEL_DOUBT.off, MODEL_DOUBT.finished, MODEL_DOUBT.off, MODEL_DOUBT.finished];
  const [fell, offWidth, finishedWidth, offLength, finishedLength] = squares.map((square, k) => {
    return Math.sqrt(square + floors[k] ** 2);
  });
  return { fell, offWidth, finishedWidth, offLength, finishedLength };
}

/** How far a cloth's sizes may be off. */
export const sizeDoubts: Work<DoubtsJob, SizeDoubts> = { name: 'sizeDoubts', steps: tryUnknowns };

function sizeShares({ onLoom, offLoom, finished }: ClothStates): number[] {
  const length = ({ rowYMm }: ClothStates['onLoom']) => rowYMm[rowYMm.length - 1] || 1;
  return [onLoom.widthShare, offLoom.widthShare, finished.widthShare, length(offLoom), length(finished)];
}

/**
 * Sizes over the outermost threads' outer edges, half a spacing beyond their centres.
 * @param picks per cm over the likeliest, [least, most]
 */
export function clothSizes(
  problem: ClothProblem,
  states: ClothStates,
  doubts: SizeDoubts,
  [fewest, most]: readonly [number, number],
): ClothSizes {
  const { ends, rows } = problem;
  const { spanMm } = endSpan(problem);
  const reedWidthMm = ends > 1 ? (spanMm * ends) / (ends - 1) : 0;
  const lengthOf = ({ rowYMm }: ClothStates['onLoom']) => (rows > 1 ? (rowYMm[rows - 1] * rows) / (rows - 1) : 0);
  const width = ({ widthShare }: ClothStates['onLoom'], doubt: number) => around(reedWidthMm * widthShare, doubt);
  const length = (state: ClothStates['onLoom'], doubt: number): Reading => {
    const value = lengthOf(state);
    const [shorter, longer] = [1 - 1 / most, 1 / fewest - 1];
    return {
      value,
      low: value * (1 - Math.hypot(doubt, shorter)),
      high: value * (1 + Math.hypot(doubt, longer)),
    };
  };
  const { onLoom, offLoom, finished } = states;
  return {
    reedWidthMm,
    fellWidthMm: width(onLoom, doubts.fell),
    offLoomWidthMm: width(offLoom, doubts.offWidth),
    finishedWidthMm: width(finished, doubts.finishedWidth),
    onLoomLengthMm: length(onLoom, 0),
    offLoomLengthMm: length(offLoom, doubts.offLength),
    finishedLengthMm: length(finished, doubts.finishedLength),
  };
}
