import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** How two rows stand to each other where both are present; see `compareRows`. */
export interface RowPair {
  /** Ends that pass both rows. */
  common: number;
  /** Ends that change side between the rows, and their mean tension (N), bending (N mm²), width and height (mm). */
  changing: number;
  endTensionN: number;
  endBendingNmm2: number;
  endWidthMm: number;
  endHeightMm: number;
  /** Times that the rows change places (which is uppermost) from one end to the next that tells. */
  swaps: number;
  /** Least mean spacing of the ends over the common part, mm. */
  endPitchMm: number;
}

export function createRowPair(): RowPair {
  return {
    common: 0,
    changing: 0,
    endTensionN: 0,
    endBendingNmm2: 0,
    endWidthMm: 0,
    endHeightMm: 0,
    swaps: 0,
    endPitchMm: 0,
  };
}

function addEnd(out: RowPair, { bendingNmm2, contactWidthMm, contactHeightMm }: YarnBody, tensionN: number): void {
  out.endTensionN += tensionN;
  out.endBendingNmm2 += bendingNmm2;
  out.endWidthMm += contactWidthMm;
  out.endHeightMm += contactHeightMm;
}

/** Bits of word `word` that lie within ends first..last. */
function spanMask(word: number, first: number, last: number): number {
  const from = word << 5;
  if (last < from || first > from + 31) return 0;
  const low = first > from ? -1 << (first - from) : -1;
  const high = last < from + 31 ? -1 >>> (31 - (last - from)) : -1;
  return low & high;
}

/**
 * How often, among the bits of `telling` from the lowest up, one that is in `downs` follows one that is not, or the other way
 * round. What each says is carried up to the next that tells, doubling the way at each step.
 */
function swapsWithin(telling: number, downs: number): number {
  let said = downs;
  let silent = ~telling;
  for (let step = 1; step < 32; step <<= 1) {
    said |= (said << step) & silent;
    silent &= silent << step;
  }
  return popcount32(((said << 1) ^ downs) & telling & (telling - 1));
}

/** What every end has, where they are all alike. */
export interface AlikeEnds {
  readonly tensionN: number;
  readonly yarn: YarnBody;
}

/** Undefined where ends differ. */
export function alikeEnds({ ends, yarns, endYarn, endTensionN }: ClothProblem): AlikeEnds | undefined {
  for (let end = 1; end < ends; end++)
    if (endYarn[end] !== endYarn[0] || endTensionN[end] !== endTensionN[0]) return undefined;
  return ends > 0 ? { tensionN: endTensionN[0], yarn: yarns[endYarn[0]] } : undefined;
}

/**
 * Compares two rows from their lifts. At an end that is up at one row and down at the other, the row under it there
 * lies below the other; when the order never swaps, the rows belong to different layers (or one can ride over the
 * other) and slide; each swap is a place where both must share the middle of the cloth side by side.
 * @param alike of the problem: ends then are not looked up one by one
 */
export function compareRows(
  out: RowPair,
  problem: ClothProblem,
  rowA: number,
  rowB: number,
  alike?: AlikeEnds,
): RowPair {
  const { drawdown, yarns, endYarn, endTensionN } = problem;
  const first = Math.max(problem.rowFirst[rowA], problem.rowFirst[rowB]);
  const last = Math.min(problem.rowLast[rowA], problem.rowLast[rowB]);
  out.common = Math.max(0, last - first + 1);
  out.changing = 0;
  out.endTensionN = 0;
  out.endBendingNmm2 = 0;
  out.endWidthMm = 0;
  out.endHeightMm = 0;
  out.swaps = 0;
  out.endPitchMm = 0;
  if (out.common === 0) return out;
  const words = drawdown.wordsPerRow;
  let uppermost = 0;
  for (let word = first >>> 5; word <= last >>> 5; word++) {
    const a = drawdown.bits[rowA * words + word];
    const b = drawdown.bits[rowB * words + word];
    let changed = (a ^ b) & spanMask(word, first, last);
    if (changed === 0) continue;
    out.changing += popcount32(changed);
    if (alike) {
      const downs = a & changed;
      out.swaps += swapsWithin(changed, downs);
      const first = (downs & changed & -changed) !== 0 ? -1 : 1;
      if (uppermost !== 0 && first !== uppermost) out.swaps++;
      uppermost = ((downs >>> (31 - Math.clz32(changed))) & 1) !== 0 ? -1 : 1;
      continue;
    }
    while (changed !== 0) {
      const bit = changed & -changed;
      changed ^= bit;
      const now = (a & bit) !== 0 ? -1 : 1;
      if (uppermost !== 0 && now !== uppermost) out.swaps++;
      uppermost = now;
      const end = (word << 5) + (31 - Math.clz32(bit));
      addEnd(out, yarns[endYarn[end]], endTensionN[end]);
    }
  }
  if (out.changing > 0 && alike) addEnd(out, alike.yarn, alike.tensionN);
  else if (out.changing > 0) {
    out.endTensionN /= out.changing;
    out.endBendingNmm2 /= out.changing;
    out.endWidthMm /= out.changing;
    out.endHeightMm /= out.changing;
  }
  out.endPitchMm = out.common > 1 ? (problem.endXMm[last] - problem.endXMm[first]) / (out.common - 1) : Infinity;
  return out;
}
