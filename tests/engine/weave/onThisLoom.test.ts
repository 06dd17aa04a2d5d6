import { describe, expect, it, test } from 'vitest';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { parseThreading } from '#engine/draft/orders.ts';
import { sameDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { edgeStep, standingOn } from '#engine/weave/structures/onThisLoom.ts';

const loom = (threading: string, shafts: number) => ({ shafts, threading: parseThreading(threading, shafts) });

describe('standing of a structure on a warped loom', () => {
  test.each([
    ['1-8 x6', 8, { rule: 'twill', line: '2/2' }, 'here'],
    ['1-8 x6', 8, { rule: 'satin' }, 'here'],
    ['1-8 x6', 8, { rule: 'satin', ends: 5, move: 2 }, 'cannot'],
    ['1-8 x6', 8, { rule: 'plain' }, 'here'],
    ['1-4 x12', 8, { rule: 'herringbone', run: 8 }, 'cannot'],
    // A stripe of 36 ends on a warp of 48: the last stripe alone stands in the way.
    ['1-4 x12', 8, { rule: 'herringbone', run: 44 }, 'nearest'],
    ['1-4 x12', 4, { rule: 'doublePlain' }, 'here'],
    ['1-2 x24', 4, { rule: 'doublePlain' }, 'cannot'],
    ['(1-8, 7-2) x3', 8, { rule: 'waffle', shafts: 8 }, 'here'],
  ] as const)('%s on %i shafts: %j %s', (threading, shafts, rule, kind) => {
    const warped = loom(threading, shafts);
    const structure = structureOf(rule);
    const standing = standingOn(warped, structure);
    expect(standing.kind).toBe(kind);
    expect(standing.changed === 0).toBe(kind === 'here');
    // Counted crossing by crossing against what was asked for, begun where it says.
    let differing = 0;
    for (let row = 0; row < structure.drawdown.rows; row++) {
      for (let end = 0; end < warped.threading.length; end++) {
        const asked = isWarpUp(structure.drawdown, row, (end + standing.beginsAt) % structure.drawdown.ends);
        if (asked !== isWarpUp(standing.fit.woven, row, end)) differing++;
      }
    }
    expect(differing).toBe(standing.changed);
  });

  it('a fixed tie-up: plain and twill are there, satin of eight is not', () => {
    const shafts = 4;
    const tieUp = tieUpFromShafts(
      [
        [1, 3],
        [2, 4],
        [1, 2],
        [2, 3],
        [3, 4],
        [1, 4],
      ],
      shafts,
      'rising',
    );
    const warped = { ...loom('1-4 x10', shafts), tieUp };
    const plain = standingOn(warped, structureOf({ rule: 'plain' }));
    expect(plain.kind).toBe('here');
    expect(sameDrawdown(plain.fit.woven, tile(structureOf({ rule: 'plain' }).drawdown, 2, 40))).toBe(true);
    expect(plain.fit.treadling).toBeDefined();
    expect(standingOn(warped, structureOf({ rule: 'twill', line: '2/2' })).kind).toBe('here');
    expect(standingOn(warped, structureOf({ rule: 'satin' })).kind).toBe('cannot');
  });
});

describe('smallest step of an edge', () => {
  test.each([
    ['straight draw', '1-16 x6', 16, { ends: 1, everyEnds: 16 }],
    ['point draw', '(1-8, 7-2) x5', 8, { ends: 1, everyEnds: 14 }],
    ['blocks of 32, 16 and 12 ends', '1-4 x8, 5-8 x4, 9-12 x3, 5-8 x4', 24, { ends: 12, everyEnds: 0 }],
    ['two ties and pattern shafts', '(1 3 2 3 1 4 2 4 1 5 2 5 1 6 2 6) x2', 16, { ends: 4, everyEnds: 16 }],
  ])('%s', (_, threading, shafts, expected) => {
    expect(edgeStep(loom(threading, shafts))).toEqual(expected);
  });
});
