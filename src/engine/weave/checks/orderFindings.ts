import type { DistinctLines } from '#engine/draft/distinct.ts';
import { brokenOrder, loneThreads } from './brokenOrder.ts';
import type { CheckedCloth, Finding, Place } from './checkTypes.ts';
import { endPlace, rowPlace } from './comingAway.ts';

/** Orders of colours and of movement that one thread breaks, and threads that stand alone. */
export function findOrders(cloth: CheckedCloth, ends: DistinctLines, picks: DistinctLines): Finding[] {
  return [
    ...inOrder('warp', 'colours', cloth.endYarn, (end) => endPlace(cloth, end)),
    ...inOrder('warp', 'threading', ends.classOf, (end) => endPlace(cloth, end)),
    ...inOrder('weft', 'colours', cloth.rowYarn, (row) => rowPlace(cloth, row)),
    ...inOrder('weft', 'threading', picks.classOf, (row) => rowPlace(cloth, row)),
  ];
}

function inOrder(
  system: 'warp' | 'weft',
  of: 'colours' | 'threading',
  order: ArrayLike<number>,
  place: (thread: number) => Place,
): Finding[] {
  const broken = brokenOrder(order);
  if (broken) {
    const { at, what, repeat, within } = broken;
    const thread = Math.min(at, order.length - 1);
    return [
      {
        kind: 'brokenOrder',
        weight: 'look',
        system,
        of,
        what,
        ...(repeat === undefined ? {} : { repeat }),
        ...(within === undefined ? {} : { within }),
        count: 1,
        places: [place(thread)],
      },
    ];
  }
  const lone = loneThreads(order);
  if (lone.length === 0) return [];
  return [{ kind: 'loneThread', weight: 'look', system, of, count: lone.length, places: lone.map(place) }];
}
