import { DraftError } from '#engine/draft/draftError.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';

/**
 * A block plan woven out: cell (blockRow, blockColumn) of the plan, first block woven first, gives the structure there.
 * Structures run through the whole cloth as if they had been begun at its first end and pick, so that layers and colour
 * orders stay in register from block to block: a rep of dark and pale ends is `plain` and its complement under an
 * alternating warp, block double plain two `doublePlain`s with the layers exchanged.
 * @param blockEnds ends of each block column, or one number for all. @param blockPicks picks of each block row.
 * @throws DraftError where the plan is uneven, names a structure not given, or block sizes do not fit it.
 */
export function blockDrawdown(
  plan: readonly (readonly number[])[],
  structures: readonly Drawdown[],
  blockEnds: number | readonly number[],
  blockPicks: number | readonly number[],
): Drawdown {
  const columns = plan[0]?.length ?? 0;
  plan.forEach((cells, blockRow) => {
    if (cells.length !== columns) {
      throw new DraftError(
        'lengths-differ',
        { part: 'whole', at: 0 },
        `Row ${blockRow + 1} of the block plan has ${cells.length} blocks and the first ${columns}; give all the same.`,
      );
    }
    cells.forEach((structure, column) => {
      if (structures[structure] !== undefined) return;
      throw new DraftError(
        'nothing-there',
        { part: 'whole', at: 0 },
        `Row ${blockRow + 1}, block ${column + 1} of the plan names structure ${structure}; ` +
          `there are ${structures.length}, counted from 0.`,
      );
    });
  });
  const columnOfEnd = blockOfThread(blockEnds, columns, 'end');
  const blockRowOfPick = blockOfThread(blockPicks, plan.length, 'pick');
  const drawdown = createDrawdown(blockRowOfPick.length, columnOfEnd.length);
  for (let row = 0; row < drawdown.rows; row++) {
    const cells = plan[blockRowOfPick[row]];
    for (let end = 0; end < drawdown.ends; end++) {
      const structure = structures[cells[columnOfEnd[end]]];
      if (isWarpUp(structure, row % structure.rows, end % structure.ends)) setWarpUp(drawdown, row, end, true);
    }
  }
  return drawdown;
}

function blockOfThread(sizes: number | readonly number[], blocks: number, part: 'end' | 'pick'): number[] {
  const list = typeof sizes === 'number' ? Array<number>(blocks).fill(sizes) : sizes;
  if (list.length !== blocks) {
    throw new DraftError(
      'lengths-differ',
      { part: 'whole', at: 0 },
      `${list.length} block sizes in ${part}s were given for ${blocks} blocks; give one each.`,
    );
  }
  return list.flatMap((size, block) => {
    if (Number.isInteger(size) && size >= 1) return Array<number>(size).fill(block);
    throw new DraftError(
      'sizes-do-not-fit',
      { part: 'whole', at: 0 },
      `Block ${block + 1} has ${size} ${part}s; give 1 or more.`,
    );
  });
}

/**
 * How many independent blocks a threading system has on a loom, from the units of two of its blocks: shafts that both
 * use (tie-downs, ground) are needed once, the others once a block. Summer and winter, [1, 3, 2, 3] and [1, 4, 2, 4], has
 * 6 blocks on 8 shafts.
 */
export function blockCapacity(shafts: number, unitA: readonly number[], unitB: readonly number[]): number {
  const a = new Set(unitA);
  const b = new Set(unitB);
  const common = [...a].filter((shaft) => b.has(shaft)).length;
  const own = Math.max(a.size, b.size) - common;
  if (own <= 0) return common <= shafts ? 1 : 0;
  return Math.max(0, Math.floor((shafts - common) / own));
}
