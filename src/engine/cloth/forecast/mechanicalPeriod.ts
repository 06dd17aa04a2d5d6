import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { smallestPeriod } from '#engine/draft/repeats.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** Beats within 2 % of the loose-to-firm range move a pick by about 3 % of its free spacing and count as one. */
const FIRMNESS_STEPS = 50;

export interface Period {
  readonly rows: number;
  readonly ends: number;
}

/** Numbers for things that behave alike, in the order met. */
function classNumbers(keys: Iterable<string>): Uint32Array {
  const numbers = new Map<string, number>();
  const out: number[] = [];
  for (const key of keys) {
    const known = numbers.get(key) ?? numbers.size;
    numbers.set(key, known);
    out.push(known);
  }
  return Uint32Array.from(out);
}

/** What of a yarn bears on where threads lie: not its colour, not its name. */
function mechanicalKey(body: YarnBody): string {
  const { shape, contactWidthMm, contactHeightMm, bodyWidthMm, bodyHeightMm, bendingNmm2 } = body;
  return [shape, contactWidthMm, contactHeightMm, bodyWidthMm, bodyHeightMm, bendingNmm2].join(' ');
}

/**
 * Smallest period of the cloth as mechanics sees it: weave, yarn bodies, tension and beat; colours do not count.
 * Rows that do not run right across repeat only with their like.
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
  const rowClass = classNumbers(rowKeys);
  const rowPeriod = smallestPeriod(rowClass);
  const columns = new Array<string>(ends);
  for (let end = 0; end < ends; end++) {
    let column = `${yarnKey[problem.endYarn[end]]}|${problem.endTensionN[end]}|`;
    for (let row = 0; row < rowPeriod; row++) {
      column += (drawdown.bits[row * words + (end >>> 5)] >>> (end & 31)) & 1;
    }
    columns[end] = column;
  }
  return { rows: rowPeriod, ends: smallestPeriod(classNumbers(columns)) };
}
