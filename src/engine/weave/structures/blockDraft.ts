import { distinctEnds } from '#engine/draft/distinct.ts';
import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import type { Draft } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { checkRepeat, modulo } from './structureTypes.ts';

/** Which structure stands in each block, the row woven first first; numbers of structures, from 0. */
export type BlockPlan = readonly (readonly number[])[];

export type Arrangement = 'once' | 'repeated' | 'facing' | 'staggered';

/**
 * A plan laid again: side by side; facing its mirror image, whose turning column and row are not doubled; or staggered,
 * every second repeat half the plan's height further up.
 */
export function arrangePlan(plan: BlockPlan, arrangement: Arrangement): number[][] {
  const [rows, columns] = [plan.length, plan[0]?.length ?? 0];
  const cell = (row: number, column: number) => plan[modulo(row, rows)][modulo(column, columns)];
  const laid = (height: number, width: number, at: (row: number, column: number) => number) =>
    Array.from({ length: height }, (_, row) => Array.from({ length: width }, (__, column) => at(row, column)));
  const facing = (k: number, count: number) => (k < count ? k : 2 * (count - 1) - k);
  switch (arrangement) {
    case 'once':
      return laid(rows, columns, cell);
    case 'repeated':
      return laid(rows, 2 * columns, cell);
    case 'facing':
      return laid(Math.max(1, 2 * rows - 1), Math.max(1, 2 * columns - 1), (row, column) =>
        cell(facing(row, rows), facing(column, columns)),
      );
    case 'staggered':
      return laid(rows, 2 * columns, (row, column) =>
        cell(row - (column < columns ? 0 : Math.floor(rows / 2)), column),
      );
  }
}

/** Two blocks that become one: the second takes on the first's states. Columns of the plan, from 0. */
export interface Merge {
  readonly kept: readonly number[];
  readonly changed: readonly number[];
  /** Crossings of cloth whose structure changes. */
  readonly cells: number;
}

export interface BlockDraft {
  readonly plan: BlockPlan;
  readonly drawdown: Drawdown;
  /** Threading and lifts, where no more shafts are needed than the loom has. */
  readonly draft: Draft | null;
  readonly shaftsNeeded: number;
  /** Columns of the plan that differ: so many blocks it has. */
  readonly blocks: number;
  /** Of those, from the left, how many the loom's shafts are enough for. */
  readonly blocksThatFit: number;
}

export interface BlockRequest {
  readonly plan: BlockPlan;
  readonly structures: readonly Drawdown[];
  /** Ends of each column and picks of each row of the plan, or one number for all. */
  readonly blockEnds: number | readonly number[];
  readonly blockPicks: number | readonly number[];
  /** Shafts of the loom, 1..64. */
  readonly shafts: number;
}

const sizeOf = (sizes: number | readonly number[], at: number) => (typeof sizes === 'number' ? sizes : sizes[at]);
const totalOf = (sizes: number | readonly number[], count: number) =>
  typeof sizes === 'number' ? sizes * count : sizes.reduce((sum, size) => sum + size, 0);

/** Columns of the plan by the block that they belong to: those that are alike all the way up, in order of appearance. */
export function blocksOfPlan(plan: BlockPlan): number[][] {
  const blocks = new Map<string, number[]>();
  (plan[0] ?? []).forEach((_, column) => {
    const key = plan.map((row) => row[column]).join();
    const known = blocks.get(key);
    if (known) known.push(column);
    else blocks.set(key, [column]);
  });
  return [...blocks.values()];
}

/**
 * A full draft from a block plan and the structure of each state.
 * @throws DraftError where plan, sizes and structures do not go together, or no block at all fits.
 */
export function blockDraft(request: BlockRequest): BlockDraft {
  const { plan, structures, blockEnds, blockPicks, shafts } = request;
  if (plan.length === 0 || plan[0].length === 0) {
    throw new DraftError('nothing-there', WHOLE, 'The plan is empty; give at least one block.');
  }
  checkRepeat(totalOf(blockPicks, plan.length), totalOf(blockEnds, plan[0].length));
  const drawdown = blockDrawdown(plan, structures, blockEnds, blockPicks);
  const { classOf, firstOf } = distinctEnds(drawdown);
  const blocks = blocksOfPlan(plan);
  const endsOf = columnStarts(blockEnds, plan[0].length);
  const used = new Set<number>();
  let blocksThatFit = 0;
  for (const columns of blocks) {
    for (const column of columns) {
      for (let end = endsOf[column]; end < endsOf[column + 1]; end++) used.add(classOf[end]);
    }
    if (used.size > shafts) break;
    blocksThatFit++;
  }
  const shaftsNeeded = firstOf.length;
  const draft = shaftsNeeded <= shafts ? draftFromDrawdown(drawdown, shafts) : null;
  return { plan, drawdown, draft, shaftsNeeded, blocks: blocks.length, blocksThatFit };
}

function columnStarts(sizes: number | readonly number[], count: number): number[] {
  const starts = [0];
  for (let column = 0; column < count; column++) starts.push(starts[column] + sizeOf(sizes, column));
  return starts;
}

/**
 * What would fit: again and again the two blocks that differ over the least cloth are made one, the narrower taking on
 * the wider's states, until the shafts are enough. Greedy, so that a plan of fewer changes may exist. Empty where the plan
 * fits as it is; null where not even one block fits.
 */
export function mergesThatFit(request: BlockRequest): { readonly merges: Merge[]; readonly fitted: BlockDraft } | null {
  let plan: number[][] = request.plan.map((row) => [...row]);
  const merges: Merge[] = [];
  for (;;) {
    const fitted = blockDraft({ ...request, plan });
    if (fitted.draft) return { merges, fitted };
    const blocks = blocksOfPlan(plan);
    if (blocks.length < 2) return null;
    const widthOf = (columns: readonly number[]) =>
      columns.reduce((sum, column) => sum + sizeOf(request.blockEnds, column), 0);
    let best: Merge | undefined;
    for (let a = 0; a < blocks.length; a++) {
      for (let b = a + 1; b < blocks.length; b++) {
        const heights = plan.reduce(
          (sum, row, at) => sum + (row[blocks[a][0]] === row[blocks[b][0]] ? 0 : sizeOf(request.blockPicks, at)),
          0,
        );
        const [kept, changed] =
          widthOf(blocks[a]) >= widthOf(blocks[b]) ? [blocks[a], blocks[b]] : [blocks[b], blocks[a]];
        const cells = heights * widthOf(changed);
        if (!best || cells < best.cells) best = { kept, changed, cells };
      }
    }
    if (!best) return null;
    const { kept, changed } = best;
    merges.push(best);
    plan = plan.map((row) => row.map((state, column) => (changed.includes(column) ? row[kept[0]] : state)));
  }
}
