import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import type { Standing } from '#engine/weave/structures/onThisLoom.ts';
import type { LoomAndWarp } from './commands/checkCommands.ts';
import { inNotation } from './commands/draftCommands.ts';
import { isInReach, threadAnew } from './fitDrawdown.ts';
import { liftsOf } from './warpedLoom.ts';

/** Whether a warp as it is drawn in and tied is fit to weave a structure: it comes out as it is, within reach of two feet. */
export function isWellDrawn({ loom }: LoomAndWarp, standing: Standing): boolean {
  return standing.kind === 'here' && isInReach(loom, liftsOf(standing));
}

/**
 * A warp that is not on its loom for good, drawn in (and tied) for a repeat. What was noted of it tells of the draw and
 * tie-up that it had, so it is left behind.
 * @returns undefined where the loom has too few shafts or treadles, or the warp has to stay
 */
export function threadedFor({ loom, warp }: LoomAndWarp, repeat: Drawdown): LoomAndWarp | undefined {
  const fitted = warp.fixed ? undefined : threadAnew(tile(repeat, repeat.rows, warp.ends), loom);
  if (!fitted) return undefined;
  const { threading, tieUp } = fitted;
  const { notes: _, ...kept } = warp;
  return {
    loom,
    warp: { ...kept, ...(threading ? { threading: inNotation(threading) } : {}), ...(tieUp ? { tieUp } : {}) },
  };
}
