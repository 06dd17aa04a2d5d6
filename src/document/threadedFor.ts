import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import type { LoomAndWarp } from './commands/checkCommands.ts';
import { inNotation } from './commands/draftCommands.ts';
import { fitDrawdown } from './fitDrawdown.ts';

/**
 * A warp that is not on its loom for good, drawn in (and tied) for a repeat; as it is where it weaves the repeat already.
 * @returns undefined where the loom has too few shafts or treadles, or the warp has to stay
 */
export function threadedFor({ loom, warp }: LoomAndWarp, repeat: Drawdown): LoomAndWarp | undefined {
  const { threading, tieUp, changed } = fitDrawdown({ loom, warp }, tile(repeat, repeat.rows, warp.ends));
  if (changed > 0) return undefined;
  return {
    loom,
    warp: { ...warp, ...(threading ? { threading: inNotation(threading) } : {}), ...(tieUp ? { tieUp } : {}) },
  };
}
