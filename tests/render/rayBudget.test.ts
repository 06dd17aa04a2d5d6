import { describe, expect, it } from 'vitest';
import { RayBudget } from '#render/rayBudget.ts';

/** As a GPU would that follows so many rays in a millisecond: the budget after some turns, and the longest of the last. */
function settled(raysPerMs: number, lively: number, turns = 40): { rays: number; longestMs: number } {
  const budget = new RayBudget();
  let now = 0;
  let longestMs = 0;
  for (let turn = 0; turn < turns; turn++) {
    const rays = budget.raysWhere(lively);
    const took = (rays * lively) / raysPerMs;
    if (turn > turns / 2) longestMs = Math.max(longestMs, took);
    budget.learn(rays, lively, now, now + took);
    now += took;
  }
  return { rays: budget.raysWhere(lively), longestMs };
}

describe('how many rays are asked for at once', () => {
  it.each([50, 2_000, 100_000])('at %i rays a millisecond: a few dozen milliseconds of work', (raysPerMs) => {
    const { rays, longestMs } = settled(raysPerMs, 1);
    expect(rays / raysPerMs).toBeGreaterThan(10);
    expect(longestMs).toBeLessThan(45);
  });

  it('more where most pixels have all their samples', () => {
    expect(settled(2_000, 0.1).rays).toBeGreaterThan(5 * settled(2_000, 1).rays);
  });

  it('does not count the time for which the ones before kept the GPU', () => {
    const budget = new RayBudget();
    budget.learn(budget.raysWhere(1), 1, 0, 500);
    const before = budget.raysWhere(1);
    // Asked for at 10 ms, while the first were still being followed until 500.
    budget.learn(before, 1, 10, 505);
    expect(budget.raysWhere(1)).toBe(2 * before);
  });

  it('never stops asking, however slow', () => {
    const budget = new RayBudget();
    for (let turn = 0; turn < 20; turn++) budget.learn(budget.raysWhere(1), 1, 10_000 * turn, 10_000 * (turn + 1));
    expect(budget.raysWhere(1)).toBeGreaterThanOrEqual(1024);
  });
});
