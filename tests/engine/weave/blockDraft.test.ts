import { describe, expect, it, test } from 'vitest';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { distinctEnds } from '#engine/draft/distinct.ts';
import { sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import {
  type Arrangement,
  arrangePlan,
  type BlockPlan,
  type BlockRequest,
  blockDraft,
  blocksOfPlan,
  mergesThatFit,
} from '#engine/weave/structures/blockDraft.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import type { RuleValue } from '#engine/weave/structures/ruleParams.ts';
import { caseById } from '#tests/reference/cases.ts';

const weave = (rule: string, params: Record<string, RuleValue> = {}) => structureOf({ rule, ...params }).drawdown;

/** One block more than the last, each a column of its own: the first is dark in row 1, the second in row 2 … */
const diagonal = (blocks: number): BlockPlan =>
  Array.from({ length: blocks }, (_, row) => Array.from({ length: blocks }, (__, column) => Number(row === column)));

const request = (
  plan: BlockPlan,
  structures: BlockRequest['structures'],
  shafts: number,
  block: number,
): BlockRequest => ({
  plan,
  structures,
  blockEnds: block,
  blockPicks: block,
  shafts,
});

describe('shafts of block plans', () => {
  // SD-05: a block takes one shaft for each distinct end of its structure, twice as many for one and its opposite where
  // these do not share ends.
  test.each([
    ['double plain', weave('doublePlain'), weave('doublePlain', { upper: 'second threads' }), 4],
    ['turned twill', weave('twill', { line: '1/3' }), weave('twill', { line: '3/1', step: -1 }), 4],
  ] as const)('%s takes four a block', (_, one, other, each) => {
    const { inputs, expected } = caseById<{ structure: string[] }, { shafts_per_block: number[] }>('textile', 'SD-05');
    expect(expected.shafts_per_block[inputs.structure.indexOf('plain double cloth')]).toBe(each);
    for (let blocks = 2; blocks <= 5; blocks++) {
      const drawn = blockDraft(request(diagonal(blocks), [one, other], 64, 8));
      expect([drawn.blocks, drawn.shaftsNeeded]).toEqual([blocks, each * blocks]);
      expect(sameDrawdown(computeDrawdown(drawn.draft!.threading, drawn.draft!.liftPlan), drawn.drawdown)).toBe(true);
    }
  });

  // SD-06: on eight shafts, two blocks of double weave and six of summer and winter.
  test.each([
    ['double_weave_blocks', weave('doublePlain'), weave('doublePlain', { upper: 'second threads' }), 8],
    [
      'summer_and_winter_blocks',
      weave('summerAndWinter', { plan: '0', across: 1, along: 1 }),
      weave('summerAndWinter', { plan: '1', across: 1, along: 1 }),
      8,
    ],
    ['four_end_twill_blocks', weave('twill', { line: '1/3' }), weave('twill', { line: '3/1', step: -1 }), 8],
  ] as const)('%s that eight shafts are enough for', (name, one, other, block) => {
    const { expected } = caseById<unknown, Record<string, number>>('textile', 'SD-06');
    const drawn = blockDraft(request(diagonal(8), [one, other], 8, block));
    expect(drawn.draft).toBeNull();
    expect(drawn.blocksThatFit).toBe(expected[name]);
  });
});

describe('merges', () => {
  const plain = [weave('twill', { line: '1/3' }), weave('twill', { line: '3/1', step: -1 })];

  it('nothing is merged where all fits', () => {
    const outcome = mergesThatFit(request(diagonal(3), plain, 12, 8))!;
    expect(outcome.merges).toEqual([]);
  });

  it('one merge changes as few crossings as the best of all pairs, and the result fits', () => {
    // Four blocks, of which the first and last differ in one row only.
    const plan = [
      [1, 0, 1, 1],
      [1, 1, 0, 1],
      [0, 1, 1, 0],
      [0, 0, 0, 1],
    ];
    const asked = request(plan, plain, 12, 8);
    const { merges, fitted } = mergesThatFit(asked)!;
    expect(merges).toHaveLength(1);
    const differing = (a: number, b: number) => plan.filter((row) => row[a] !== row[b]).length * 8 * 8;
    const pairs = [0, 1, 2, 3].flatMap((a) => [0, 1, 2, 3].filter((b) => b > a).map((b) => differing(a, b)));
    expect(merges[0].cells).toBe(Math.min(...pairs));
    expect(distinctEnds(fitted.drawdown).firstOf.length).toBeLessThanOrEqual(12);
    expect(blocksOfPlan(fitted.plan)).toHaveLength(3);
  });

  it('says so where not even one block fits', () => {
    expect(mergesThatFit(request([[0, 1]], [weave('satin'), weave('satin', { face: 'warp' })], 7, 8))).toBeNull();
  });
});

describe('arrangements', () => {
  const plan = [
    [1, 0, 0],
    [0, 1, 0],
  ];

  test.each([
    ['once', ['100', '010']],
    ['repeated', ['100100', '010010']],
    ['facing', ['10001', '01010', '10001']],
    ['staggered', ['100010', '010100']],
  ] as const)('%s', (arrangement: Arrangement, rows) => {
    expect(arrangePlan(plan, arrangement).map((row) => row.join(''))).toEqual(rows);
  });

  it('facing is its own mirror image and takes no more blocks', () => {
    const faced = arrangePlan(plan, 'facing');
    expect(faced.map((row) => row.toReversed())).toEqual(faced);
    expect(faced.toReversed()).toEqual(faced);
    expect(blocksOfPlan(faced)).toHaveLength(blocksOfPlan(plan).length);
  });
});
