import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';
import { endSpan, rowLengthMm } from '#engine/cloth/rowLength.ts';
import type { Reading } from '#engine/units/reading.ts';
import type { Ranged } from '#engine/yarn/ownYarnTypes.ts';

/** Yarn in the piece itself, m, by yarn id; `inWarp` where ends are among it, whose loom waste is not counted here. */
export interface YarnNeeded {
  readonly metres: Ranged;
  readonly inWarp: boolean;
}

/**
 * How much of each yarn the sample takes: the way of each row and end over the cloth, times 1/(1 − take-up), from the
 * forecast's own crimp; cut passes with their tails at both ends. Turns at the selvedges and loom waste are left out.
 */
export function yarnNeeded(problem: ClothProblem, asRead: Readings): ReadonlyMap<string, YarnNeeded> {
  const readings = readingsOnLoom(asRead);
  const needed = new Map<string, { value: number; low: number; high: number; inWarp: boolean }>();
  const add = (yarn: number, mm: Ranged, inWarp: boolean) => {
    for (const id of problem.yarns[yarn].strands) {
      const sum = needed.get(id) ?? { value: 0, low: 0, high: 0, inWarp: false };
      sum.value += mm.value / 1000;
      sum.low += mm.low / 1000;
      sum.high += mm.high / 1000;
      sum.inWarp ||= inWarp;
      needed.set(id, sum);
    }
  };
  const { ends, rows } = problem;
  const { spanMm, pitchMm } = endSpan(problem);
  // From the reed's places to those at the fell; a cloth of one end is as wide as it reads.
  const narrowing = readings.widthMm / (spanMm + (pitchMm || readings.widthMm));
  for (let row = 0; row < rows; row++) {
    const wayMm = ends > 1 ? rowLengthMm(problem, row, 0) * narrowing : readings.widthMm;
    const tailsMm = problem.rowEnd[row] === RowEnd.cut ? 2 * problem.rowTailMm[row] : 0;
    const { value, low, high } = taken(wayMm, wayMm, wayMm, readings.weftTakeUp);
    add(problem.rowYarn[row], { value: value + tailsMm, low: low + tailsMm, high: high + tailsMm }, false);
  }
  const { lengthMm, warpTakeUp } = readings;
  const endMm = taken(lengthMm.value, lengthMm.low, lengthMm.high, warpTakeUp);
  for (let end = 0; end < ends; end++) add(problem.endYarn[end], endMm, true);
  return new Map(Array.from(needed, ([id, { inWarp, ...metres }]) => [id, { metres, inWarp }]));
}

function taken(value: number, low: number, high: number, takeUp: Reading): Ranged {
  return {
    value: value / (1 - takeUp.value),
    low: low / (1 - takeUp.low),
    high: high / (1 - Math.min(0.95, takeUp.high)),
  };
}

/** Whether a yarn's rest is enough: surely, perhaps, or surely not. */
export function enoughLeft(left: Ranged, needed: Ranged): 'enough' | 'perhaps' | 'short' {
  if (left.high < needed.low) return 'short';
  return left.low < needed.high ? 'perhaps' : 'enough';
}
