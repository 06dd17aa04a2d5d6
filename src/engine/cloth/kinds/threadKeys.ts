import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { mechanicalKey } from '#engine/cloth/forecast/mechanicalPeriod.ts';
import { hash32 } from '#engine/units/hash.ts';

/** Ends differ by their own space where it differs so much, as a share. */
const SPACE_STEP = 0.15;
/** Rows by the mean space about them, which moves with the weave from row to row. */
const MEAN_SPACE_STEP = 0.08;
const TENSION_STEP = 0.4;
/** Rows either side over which the spaces' mean is taken. */
const SPACES_AROUND = 8;

/** What tells threads apart for those about them, as numbers: alike ones have one. */
export interface ThreadKeys {
  readonly rows: Int32Array;
  readonly ends: Int32Array;
  /** The rows' without their spaces. */
  readonly rowYarns: Int32Array;
}

export function withoutSpaces({ ends, rowYarns }: ThreadKeys): ThreadKeys {
  return { ends, rowYarns, rows: rowYarns };
}

const stepOf = (ratio: number, step: number): number =>
  ratio > 0 ? Math.round(Math.log(ratio) / Math.log1p(step)) : 99;

function meanOf(values: Float64Array): number {
  return values.length > 0 ? values.reduce((sum, value) => sum + value, 0) / values.length : 1;
}

/** Spaces from each position to the next; the last has that before it. */
function spacesOf(positionMm: ArrayLike<number>, count: number): Float64Array {
  return Float64Array.from({ length: count }, (_, k) => {
    const from = Math.max(0, Math.min(k, count - 2));
    return count > 1 ? positionMm[from + 1] - positionMm[from] : 1;
  });
}

/** Means over some spaces either side. */
function smoothed(values: Float64Array): Float64Array {
  const sums = new Float64Array(values.length + 1);
  for (let k = 0; k < values.length; k++) sums[k + 1] = sums[k] + values[k];
  return values.map((_, k) => {
    const from = Math.max(0, k - SPACES_AROUND);
    const to = Math.min(values.length, k + SPACES_AROUND + 1);
    return (sums[to] - sums[from]) / (to - from);
  });
}

/**
 * Threads are alike that have yarns alike mechanically, tensions within a third, ends with like spaces to the next and rows with
 * like spaces about them, all over the cloth's means: a firmer beat of all picks alike leaves them as they are.
 * @param rowYMm as the structure has them, without the weaver's unevenness
 */
export function threadKeys(problem: ClothProblem, rowYMm: ArrayLike<number>): ThreadKeys {
  const { rows, ends, endXMm, endTensionN, rowTensionN, endYarn, rowYarn } = problem;
  const names = new Map<string, number>();
  const numberOf = (name: string): number => {
    const known = names.get(name) ?? names.size;
    names.set(name, known);
    return known;
  };
  const yarns = problem.yarns.map((yarn) => numberOf(mechanicalKey(yarn)));
  const endSpace = spacesOf(endXMm, ends);
  const rowSpace = smoothed(spacesOf(rowYMm, rows));
  const mean = {
    endSpace: meanOf(endSpace),
    rowSpace: meanOf(rowSpace),
    endTension: meanOf(endTensionN),
    rowTension: meanOf(rowTensionN),
  };
  const rowTension = (row: number) => stepOf(rowTensionN[row] / mean.rowTension, TENSION_STEP);
  const key = (a: number, b: number, c: number) => hash32(hash32(hash32(a + 1) ^ (b + 128)) ^ (c + 128)) | 0;
  return {
    ends: Int32Array.from({ length: ends }, (_, end) =>
      key(
        yarns[endYarn[end]],
        stepOf(endTensionN[end] / mean.endTension, TENSION_STEP),
        stepOf(endSpace[end] / mean.endSpace, SPACE_STEP),
      ),
    ),
    rows: Int32Array.from({ length: rows }, (_, row) =>
      key(yarns[rowYarn[row]], rowTension(row), stepOf(rowSpace[row] / mean.rowSpace, MEAN_SPACE_STEP)),
    ),
    rowYarns: Int32Array.from({ length: rows }, (_, row) => key(yarns[rowYarn[row]], rowTension(row), 0)),
  };
}
