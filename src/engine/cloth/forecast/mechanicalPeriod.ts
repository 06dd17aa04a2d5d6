import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { classNumbers } from '#engine/draft/classNumbers.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { leastCommonMultiple, smallestPeriod } from '#engine/draft/repeats.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** Beats within 2 % of the loose-to-firm range move a pick by about 3 % of its free spacing and count as one. */
const FIRMNESS_STEPS = 50;

export interface Period {
  readonly rows: number;
  readonly ends: number;
}

/** What of a yarn bears on where threads lie: not its colour, not its name. */
export function mechanicalKey(body: YarnBody): string {
  const { shape, contactWidthMm, contactHeightMm, bodyWidthMm, bodyHeightMm, bendingNmm2, tex, finishing } = body;
  const finish = finishing ? Object.values(finishing).join(' ') : '';
  return [shape, contactWidthMm, contactHeightMm, bodyWidthMm, bodyHeightMm, bendingNmm2, tex, finish].join(' ');
}

/** Per end, a number made of its lifts over the first `rows` rows: unlike lifts give unlike numbers but for chance. */
function liftNumbers(drawdown: Drawdown, rows: number): Float64Array {
  const { ends, wordsPerRow, bits } = drawdown;
  const low = new Int32Array(ends);
  const high = new Int32Array(ends);
  for (let row = 0; row < rows; row++) {
    // Odd multipliers, so that no bit is lost (Knuth's 2654435761 and the FNV prime).
    for (let end = 0; end < ends; end++) {
      const bit = (bits[row * wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1;
      low[end] = Math.imul(low[end] + bit + 1, -1640531535);
      high[end] = Math.imul(high[end] ^ (bit + (row << 1)), 16777619);
    }
  }
  return Float64Array.from(low, (value, end) => (value >>> 0) * 2 ** 20 + (high[end] >>> 12));
}

/** Whether lifts over the first `rows` rows repeat every `period` ends. */
function liftsRepeat(drawdown: Drawdown, rows: number, period: number): boolean {
  for (let row = 0; row < rows; row++) {
    for (let end = period; end < drawdown.ends; end++) {
      if (isWarpUp(drawdown, row, end) !== isWarpUp(drawdown, row, end - period)) return false;
    }
  }
  return true;
}

/** Two gaps that differ by less are one, mm. */
const SAME_GAP_MM = 1e-6;

/** Ends after which their spacing begins again. */
function placePeriod(endXMm: Float64Array): number {
  const kinds: number[] = [];
  const gaps = new Uint32Array(Math.max(0, endXMm.length - 1));
  for (let end = 0; end < gaps.length; end++) {
    const gapMm = endXMm[end + 1] - endXMm[end];
    const known = kinds.findIndex((kind) => Math.abs(kind - gapMm) < SAME_GAP_MM);
    gaps[end] = known < 0 ? kinds.push(gapMm) - 1 : known;
    // A reed has a handful; so many are no order of dents.
    if (kinds.length > 256) return endXMm.length;
  }
  return Math.max(1, smallestPeriod(gaps));
}

/**
 * Smallest period of the cloth as mechanics sees it: weave, yarn bodies, spacing of the ends, tension and beat; colours do not count.
 * Rows that do not run right across repeat only with their like. Where the rows do not repeat, no period of the ends is
 * looked for.
 */
export function mechanicalPeriod(problem: ClothProblem): Period {
  const { rows, ends, drawdown, beat } = problem;
  const yarnKey = problem.yarns.map(mechanicalKey);
  const words = drawdown.wordsPerRow;
  const rowKeys = Array.from({ length: rows }, (_, row) => {
    const bits = drawdown.bits.subarray(row * words, (row + 1) * words).join(' ');
    const firmness = Math.round(beat.firmness[problem.rowPick[row]] * FIRMNESS_STEPS);
    const span = `${problem.rowFirst[row]} ${problem.rowLast[row]}`;
    return `${yarnKey[problem.rowYarn[row]]}|${problem.rowTensionN[row]}|${firmness}|${span}|${bits}`;
  });
  const rowPeriod = smallestPeriod(classNumbers(rowKeys));
  if (rowPeriod === rows) return { rows, ends };
  // Rows over part of the width fix where along the ends the cloth is.
  for (let row = 0; row < rowPeriod; row++) {
    if (problem.rowFirst[row] > 0 || problem.rowLast[row] < ends - 1) return { rows: rowPeriod, ends };
  }
  const lifts = liftNumbers(drawdown, rowPeriod);
  const columns = Array.from(lifts, (lift, end) => {
    const slack = problem.endSlackShare?.[end] ?? 0;
    return `${yarnKey[problem.endYarn[end]]}|${problem.endTensionN[end]}|${slack}|${lift}`;
  });
  const endPeriod = leastCommonMultiple(smallestPeriod(classNumbers(columns)), placePeriod(problem.endXMm));
  if (endPeriod >= ends) return { rows: rowPeriod, ends };
  return { rows: rowPeriod, ends: liftsRepeat(drawdown, rowPeriod, endPeriod) ? endPeriod : ends };
}
