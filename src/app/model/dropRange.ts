import type { RibbonThreads } from '#app/table/Ribbon.tsx';
import { type PanelSize, type Pose, sideOf } from './pose.ts';
import { leastThreadPx } from './ribbonPaint.ts';
import { type RibbonAxis, ribbonBoundaries, threadAt } from './ribbonScale.ts';
import type { ThreadRange } from './tableState.ts';
import { groupThreads } from './threadGroups.ts';

export interface DropAim {
  /** Rows or ends, inclusive. */
  readonly range: ThreadRange;
  /** Index of the yarn to be exchanged where the aim is one of several that alternate. */
  readonly replacing: number | undefined;
}

/**
 * What a yarn dropped on a ribbon would take the place of: the selection where it is dropped on that, one thread where
 * threads can be told apart, else the stripe under it; and in a stripe of alternating yarns, the lane of one of them.
 * @param alongPx place along the ribbon
 * @param acrossShare place across its band, 0..1; undefined on the cloth itself, where the thread's own yarn is meant
 */
export function dropAim(
  threads: RibbonThreads,
  axis: RibbonAxis,
  pose: Pose,
  size: PanelSize,
  selected: ThreadRange | undefined,
  alongPx: number,
  acrossShare: number | undefined,
): DropAim | undefined {
  const count = threads.positionsMm.length;
  if (count === 0) return undefined;
  const boundaries = ribbonBoundaries(new Float32Array(count + 1), threads.positionsMm, axis, pose, size);
  const thread = threadAt(boundaries, count, alongPx);
  if (selected && thread >= selected.from && thread <= selected.to) return { range: selected, replacing: undefined };
  const pitchPx = Math.abs(boundaries[count] - boundaries[0]) / count;
  const sourceOf = (yarn: number) => threads.sourceOf?.[yarn] ?? yarn;
  if (pitchPx >= leastThreadPx) {
    // Of several passes in one shed only the one aimed at.
    const pick = threads.pickOf?.[thread];
    const shared =
      pick !== undefined && (threads.pickOf?.[thread - 1] === pick || threads.pickOf?.[thread + 1] === pick);
    return { range: { from: thread, to: thread }, replacing: shared ? sourceOf(threads.yarnOf[thread]) : undefined };
  }
  const group = groupThreads(threads.yarnOf).find((each) => thread >= each.from && thread <= each.to);
  if (!group) return undefined;
  const range = { from: group.from, to: group.to };
  if (group.order.length === 1) return { range, replacing: undefined };
  if (acrossShare === undefined) return { range, replacing: sourceOf(threads.yarnOf[thread]) };
  const share = axis === 'picks' && sideOf(pose) === 'back' ? 1 - acrossShare : acrossShare;
  const partial = group.order.find((yarn) => {
    const span = threads.spanOf?.[yarn];
    return span && share >= span.from && share <= span.to;
  });
  if (partial !== undefined) return { range, replacing: sourceOf(partial) };
  const whole = group.order.filter((yarn) => !threads.spanOf?.[yarn]);
  const lanes = whole.flatMap((yarn) => threads.coloursOf[yarn].map(() => yarn));
  const lane = Math.min(Math.max(Math.floor(acrossShare * lanes.length), 0), lanes.length - 1);
  return { range, replacing: lanes.length === 0 ? undefined : sourceOf(lanes[lane]) };
}
