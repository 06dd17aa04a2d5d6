import { describe, expect, it } from 'vitest';
import { dentsOfWarp, parseDenting } from '#document/notation/denting.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { mechanicalPeriod } from '#engine/cloth/forecast/mechanicalPeriod.ts';
import { readSampleJson } from '#io/sampleFile.ts';
import { smallSampleFile } from './smallSample.ts';

function withReed(reed: object, more: object = {}) {
  const file = smallSampleFile();
  file.versions = [];
  Object.assign(file.warp.reed, reed);
  Object.assign(file.warp, more);
  return readSampleJson(file);
}

describe('denting as it is written', () => {
  it.each([
    ['2 2 0 3', [2, 2, 0, 3]],
    ['2 x3, 0 x2', [2, 2, 2, 0, 0]],
    ['(1 2) x2, 4', [1, 2, 1, 2, 4]],
  ])('%s', (text, counts) => {
    expect(parseDenting(text)).toEqual({ ok: true, value: counts });
  });

  it.each([
    ['2 two 0', /reed, endsPerDent: cannot be read at character 3.*such as 2, or 0/i],
    ['2 40', /character 3: expected 0 to 32 ends/],
    ['0 0', /leaves every dent empty.*2 2 0 3/],
    ['', /gives no dent/],
    ['2 (3', /cannot be read/],
    [1.5, /endsPerDent/],
  ])('%j is refused where it is wrong', (endsPerDent, words) => {
    const read = withReed({ endsPerDent });
    expect(read.ok ? '' : read.problems[0].message).toMatch(words);
  });

  it('counts its empty dents when the warp is held against the loom', () => {
    // 24 ends in pairs with nine empty dents after each: 111 dents, 277 mm at 4 dents to the cm.
    expect(withReed({ endsPerDent: '2, 0 x9' }).ok).toBe(true);
    const read = withReed({ endsPerDent: '2, 0 x99' });
    expect(read.ok ? '' : read.problems[0].message).toMatch(/2753 mm wide in the reed, but the loom weaves 600 mm/);
  });
});

describe('a warp in its reed', () => {
  it('is read from cards of version 1, in kept versions too', () => {
    const file = smallSampleFile();
    const warp = { ...file.warp, version: 1 };
    const versions = [{ name: 'other warp', differences: [{ change: 'set', at: ['warp'], to: warp }] }];
    const read = readSampleJson({ ...file, version: 2, warp, loom: { ...file.loom, version: 1 }, versions });
    if (!read.ok) throw new Error(read.problems[0].message);
    expect([read.value.warp.version, read.value.loom.version, read.value.versions[0].body.warp.version]).toEqual([
      2, 3, 2,
    ]);
  });

  it('reaches the cloth between the wires, on the loom and closed up', () => {
    const read = withReed({ endsPerDent: '2 2 0' });
    if (!read.ok) throw new Error(read.problems[0].message);
    const { problem } = toClothProblem(read.value);
    const gap = (x: Float64Array, end: number) => x[end + 1] - x[end];
    expect(problem.reedXMm).toEqual(dentsOfWarp(read.value.warp).xMm);
    expect(gap(problem.reedXMm!, 0)).toBeLessThan(gap(problem.endXMm, 0));
    expect(gap(problem.endXMm, 0)).toBeLessThan(gap(problem.evenXMm!, 0));
    expect(gap(problem.evenXMm!, 3)).toBeGreaterThan(2 * gap(problem.evenXMm!, 0));
  });

  it('repeats with its dents as well as with its weave', () => {
    const period = (endsPerDent: number | string) => {
      const read = withReed({ endsPerDent });
      if (!read.ok) throw new Error(read.problems[0].message);
      // Without the inlay of the small sample: two sheds turn about.
      const picks = read.value.picks.filter((pick, k) => k < 4 && pick.passes.length === 1);
      return mechanicalPeriod(toClothProblem({ ...read.value, picks }).problem).ends;
    };
    expect(period(1)).toBe(2);
    expect(period(2)).toBe(2);
    expect(period(3)).toBe(6);
    expect(period('2 2 0')).toBe(4);
  });

  it('has ends of unlike tension where that is said', () => {
    const read = withReed({}, { tensionSpreadPercent: 10 });
    if (!read.ok) throw new Error(read.problems[0].message);
    const { endTensionN } = toClothProblem(read.value).problem;
    expect(new Set(endTensionN).size).toBe(24);
    expect(Math.min(...endTensionN)).toBeGreaterThan(0.24);
  });
});
