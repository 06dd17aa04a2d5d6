import { parseThreading } from '#engine/draft/orders.ts';
import { choice, type Family, grid, list, whole } from './ruleParams.ts';
import { drawdownWhere, everyThread, inTurn, onItsSide, type Structure, simple } from './structureTypes.ts';

/**
 * Huck: plain weave in groups of an odd number of threads; in every other group each way the second, fourth … end is left
 * down, so that picks float over the group.
 */
function huck(size: number, floats: string): Structure {
  const both = floats === 'both';
  const weftFloats = simple(
    drawdownWhere(2 * size, 2 * size, (row, end) => {
      const [upper, right] = [row >= size, end >= size];
      const plain = (row + end) % 2 === 0;
      if (upper !== right) return plain;
      if (!upper) return plain && row % 2 === 0;
      return both ? plain || (end - size) % 2 === 1 : plain && row % 2 === 1;
    }),
  );
  return floats === 'warp' ? onItsSide(weftFloats) : weftFloats;
}

/** M's and O's: units 1-4 and 1 3 2 4 in turn, woven by 1+2 against 3+4, then 1+3 against 2+4 (classic draft, from memory). */
function msAndOs(units: number, picks: number): Structure {
  const threading = [...parseThreading(`1-4 x${units}, 1 3 2 4 x${units}`, 4)];
  const lifts = [
    [1, 2],
    [3, 4],
    [1, 3],
    [2, 4],
  ];
  return simple(
    drawdownWhere(2 * picks, threading.length, (row, end) =>
      lifts[2 * Math.floor(row / picks) + (row % 2)].includes(threading[end]),
    ),
  );
}

/** Pairs of shafts of the four overshot blocks, the odd shaft first (from memory, public domain). */
const OVERSHOT: readonly (readonly [number, number])[] = [
  [1, 2],
  [3, 2],
  [3, 4],
  [1, 4],
];

/** Overshot woven as drawn in: over each block in turn the pattern weft floats, with a plain pick after each. */
function overshot(order: readonly number[], pairs: number, picks: number): Structure {
  const threading = order.flatMap((block) => Array.from({ length: pairs }, () => OVERSHOT[block - 1]).flat());
  const rowsOf = order.flatMap((block) => Array.from({ length: picks }, () => block));
  const drawdown = drawdownWhere(2 * rowsOf.length, threading.length, (row, end) => {
    const shaft = threading[end];
    if (row % 2 === 1) return shaft % 2 === ((row - 1) / 2) % 2;
    return !OVERSHOT[rowsOf[row / 2] - 1].includes(shaft);
  });
  return {
    drawdown,
    ends: everyThread(drawdown.ends, 'ground'),
    picks: inTurn(['pattern', 'ground'], drawdown.rows),
    layers: 1,
  };
}

/**
 * Summer and winter: units of tie, pattern, other tie, pattern; of four picks two are plain, two are laid under one tie
 * and the pattern ends of the blocks that the pattern weft is not to cover.
 * @param plan 1: the pattern weft lies on the face there.
 */
function summerAndWinter(
  plan: readonly (readonly number[])[],
  across: number,
  along: number,
  paired: boolean,
): Structure {
  const [blocks, rows] = [plan[0].length, plan.length];
  const drawdown = drawdownWhere(rows * along * 4, blocks * across * 4, (row, end) => {
    const [unitRow, unitEnd] = [row % 4, end % 4];
    const isTie = unitEnd % 2 === 0;
    if (unitRow % 2 === 0) return isTie === (unitRow === 0);
    // In pairs the ties go 1 2, 2 1; singly 1 2, 1 2.
    const turned = paired && Math.floor(row / 4) % 2 === 1;
    const tie = (unitRow === 1) !== turned ? 0 : 2;
    return isTie ? unitEnd === tie : plan[Math.floor(row / (4 * along))][Math.floor(end / (4 * across))] === 0;
  });
  return {
    drawdown,
    ends: everyThread(drawdown.ends, 'ground'),
    picks: inTurn(['ground', 'pattern'], drawdown.rows),
    layers: 1,
  };
}

/**
 * Lace in units of six, bound on five: of each unit the second and fourth ends stay down at the second and fourth pick,
 * so that picks float over five ends; the sixth end and pick bind (Bronson lace, from memory).
 * @param plan 1: lace there, 0: plain.
 */
function laceUnits(plan: readonly (readonly number[])[], across: number, along: number): Structure {
  const [blocks, rows] = [plan[0].length, plan.length];
  return simple(
    drawdownWhere(rows * along * 6, blocks * across * 6, (row, end) => {
      const lace = plan[Math.floor(row / (6 * along))][Math.floor(end / (6 * across))] === 1;
      const left = lace && row % 2 === 1 && row % 6 !== 5 && end % 2 === 1 && end % 6 !== 5;
      return (row + end) % 2 === 0 && !left;
    }),
  );
}

const planParam = grid('Plan of blocks', '10/01');

export const unitFamilies: readonly Family[] = [
  {
    rule: 'huck',
    kind: 'huck and lace',
    params: { size: whole('Threads of a group (odd)', 5, 3, 9), floats: choice('Floats of', 'weft', 'warp', 'both') },
    build: (values) => huck(values.odd('size'), values.choice('floats')),
  },
  {
    rule: 'lace',
    kind: 'huck and lace',
    params: {
      plan: planParam,
      across: whole('Units across a block', 1, 1, 12),
      along: whole('Units along a block', 1, 1, 12),
    },
    build: (values) => laceUnits(values.grid('plan'), values.whole('across'), values.whole('along')),
  },
  {
    rule: 'msAndOs',
    kind: 'block weaves',
    params: { units: whole('Units of a block', 2, 1, 12), picks: whole('Picks of a block', 8, 2, 64) },
    build: (values) => msAndOs(values.whole('units'), values.even('picks')),
  },
  {
    rule: 'overshot',
    kind: 'block weaves',
    params: {
      order: list('Blocks in order', '1 2 3 4 3 2', 1, 4),
      pairs: whole('Pairs of ends of a block', 2, 1, 8),
      picks: whole('Pattern picks of a block', 4, 1, 16),
    },
    build: (values) => overshot(values.list('order'), values.whole('pairs'), values.even('picks')),
  },
  {
    rule: 'summerAndWinter',
    kind: 'block weaves',
    params: {
      plan: planParam,
      across: whole('Units across a block', 2, 1, 24),
      along: whole('Units along a block', 2, 1, 24),
      ties: choice('Tie-downs', 'singly', 'in pairs'),
    },
    build: (values) =>
      summerAndWinter(
        values.grid('plan'),
        values.whole('across'),
        values.whole('along'),
        values.choice('ties') === 'in pairs',
      ),
  },
];
