import type { Millimetres } from '#engine/units/units.ts';
import { assertAlongside, type CheckedCloth, type Finding } from './checkTypes.ts';
import { partsOf } from './clothParts.ts';
import { findLayers, findNeverInterlacing } from './comingAway.ts';
import { findFoldCrowding } from './foldCrowding.ts';
import { findJoins } from './joiningThreads.ts';
import { findLongFloats, findPileFloats, threadLines } from './longFloats.ts';
import { findOrders } from './orderFindings.ts';
import { findSecondBeam } from './secondBeam.ts';
import { findSelvedges } from './selvedges.ts';
import { findSett } from './settFindings.ts';

const WEIGHTS = ['mistake', 'look', 'told'] as const;

/**
 * Everything that is looked for in a woven piece, mistakes first.
 * @param floatLimitMm longest float that its use allows, in the finished cloth; null where floats are free.
 */
export function checkCloth(cloth: CheckedCloth, floatLimitMm: Millimetres | null): Finding[] {
  assertAlongside(cloth);
  if (cloth.drawdown.rows === 0 || cloth.drawdown.ends === 0) return [];
  const threads = threadLines(cloth);
  const { columns } = threads;
  const parts = partsOf(cloth);
  const joins = findJoins(cloth, threads);
  const findings = [
    ...findLayers(cloth, parts),
    ...findNeverInterlacing(cloth, columns),
    ...joins.findings,
    ...findLongFloats(cloth, threads, floatLimitMm),
    ...findPileFloats(cloth, threads),
    ...findSelvedges(cloth),
    ...findFoldCrowding(cloth, parts),
    ...findSecondBeam(cloth, threads.ends),
    ...findOrders(cloth, threads.ends, threads.picks),
    // Where layers change places, none of them can be counted by itself.
    ...(joins.layered && parts.count === 1 ? [] : findSett(cloth, columns, parts)),
  ];
  return findings.sort((a, b) => WEIGHTS.indexOf(a.weight) - WEIGHTS.indexOf(b.weight));
}
