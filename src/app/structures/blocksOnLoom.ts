import { DraftError } from '#engine/draft/draftError.ts';
import { layersOf } from '#engine/weave/layers.ts';
import {
  type Arrangement,
  arrangePlan,
  type BlockDraft,
  type BlockPlan,
  type BlockRequest,
  blockDraft,
  mergesThatFit,
} from '#engine/weave/structures/blockDraft.ts';
import { type Standing, standingOn, type WarpedLoom } from '#engine/weave/structures/onThisLoom.ts';
import { type Structure, simple } from '#engine/weave/structures/structureTypes.ts';

export interface BlocksAsked {
  readonly plan: BlockPlan;
  readonly arrangement: Arrangement;
  readonly structures: readonly Structure[];
  /** Where the blocks of the warp begin, to lay the plan over them; empty: blocks of `ends` each. */
  readonly starts: readonly number[];
  readonly ends: number;
  readonly picks: number;
}

export interface BlocksMade {
  readonly draft: BlockDraft;
  readonly standing: Standing;
  /** What it would be with blocks made one, where the loom has too few shafts. */
  readonly merged: ReturnType<typeof mergesThatFit>;
  /** The state of each end's block in the first row woven. */
  readonly firstRow: readonly number[];
}

/** The draft that a plan makes and what this warp makes of it, or why there is none. */
export function blocksOnLoom(asked: BlocksAsked, warped: WarpedLoom): BlocksMade | string {
  const { structures, starts } = asked;
  const arranged = arrangePlan(asked.plan, asked.arrangement);
  const drawn = starts.length > 0;
  // Over the blocks as they are drawn in, the plan is begun again until the warp is full.
  const plan = drawn ? arranged.map((row) => starts.map((_, k) => row[k % row.length])) : arranged;
  const blockEnds = starts.map((start, k) => (starts[k + 1] ?? warped.threading.length) - (k === 0 ? 0 : start));
  const request: BlockRequest = {
    plan,
    structures: structures.map(({ drawdown }) => drawdown),
    blockEnds: drawn ? blockEnds : asked.ends,
    blockPicks: asked.picks,
    shafts: warped.shafts,
  };
  try {
    const draft = blockDraft(request);
    const whole: Structure = simple(draft.drawdown, layersOf(draft.drawdown).count);
    const firstRow = plan[0].flatMap((state, k) => Array<number>(drawn ? blockEnds[k] : asked.ends).fill(state));
    return {
      draft,
      standing: standingOn(warped, whole),
      merged: draft.draft ? null : mergesThatFit(request),
      firstRow,
    };
  } catch (error) {
    if (error instanceof DraftError) return error.message;
    throw error;
  }
}
