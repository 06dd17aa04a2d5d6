import { describe, expect, test } from 'vitest';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { RowEnd } from '#engine/cloth/clothTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { smallSample, smallSampleFile } from './smallSample.ts';

function sampleOf(change: (file: ReturnType<typeof smallSampleFile>) => void): SampleBody {
  const file = smallSampleFile();
  file.versions = [];
  change(file);
  const outcome = sampleFromFile(file);
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
}

/** A row of the drawdown as text, end 1 first: # where the warp is up. */
function rowText(body: SampleBody, row: number): string {
  const { drawdown, ends } = toClothProblem(body).problem;
  return Array.from({ length: ends }, (_, end) => (isWarpUp(drawdown, row, end) ? '#' : '.')).join('');
}

describe('a sample as the engine weaves it', () => {
  test('rows are passes: a partial pass is a row of its own in the same pick and shed', () => {
    const { problem, rowPass } = toClothProblem(smallSample());
    expect(problem.rows).toBe(13);
    expect([...problem.rowPick]).toEqual([0, 1, 2, 3, 4, 4, 5, 6, 7, 8, 9, 10, 11]);
    expect([problem.rowFirst[4], problem.rowLast[4], problem.rowFirst[5], problem.rowLast[5]]).toEqual([0, 23, 4, 11]);
    expect([rowPass[4], rowPass[5]]).toEqual([0, 1]);
    expect(problem.rowEnd[5]).toBe(RowEnd.cut);
    expect(problem.rowTailMm[5]).toBe(6);
    expect(rowText(smallSample(), 5)).toBe(rowText(smallSample(), 4));
    expect([...problem.rowEntersRight.slice(0, 4)]).toEqual([0, 1, 0, 1]);
  });

  test('a pick of two strands is one row whose thread weighs and stiffens as both', () => {
    const { problem, materials } = toClothProblem(smallSample());
    const index = problem.rowYarn[8];
    expect(materials[index].strands.map(({ id }) => id)).toEqual(['gull', 'rope']);
    const gull = materials.find(({ body }) => body.id === 'gull')!.body;
    const rope = materials.find(({ body }) => body.id === 'rope')!.body;
    expect(problem.yarns[index].tex).toBeCloseTo(147.6 + 295.3, 9);
    expect(problem.yarns[index].bendingNmm2).toBeCloseTo(gull.bendingNmm2 + rope.bendingNmm2, 12);
    expect(problem.yarns[index].contactWidthMm).toBeGreaterThan(rope.contactWidthMm);
  });

  test('two strands in one heald make an end of both', () => {
    const body = sampleOf((file) => {
      file.warp.order = '22 tar, 2 tar+gull';
    });
    const { problem, materials } = toClothProblem(body);
    expect(materials[problem.endYarn[23]].strands.map(({ id }) => id)).toEqual(['tar', 'gull']);
    expect(materials[problem.endYarn[21]].strands.map(({ id }) => id)).toEqual(['tar']);
  });

  test('reed, tension and beat arrive in mm, N and shares', () => {
    const { problem } = toClothProblem(smallSample());
    // 4 dents per cm with 2 ends each: 8 ends per cm, on the mean 1.25 mm apart, in pairs.
    expect(problem.evenXMm![0]).toBeCloseTo(0.625, 12);
    expect(problem.endXMm[23] - problem.endXMm[21]).toBeCloseTo(2.5, 12);
    expect(problem.endXMm[23] - problem.endXMm[22]).toBeLessThan(1.25);
    expect(problem.endTensionN[0]).toBeCloseTo(0.8, 12);
    expect(problem.beat).toMatchObject({ scatterShare: 0.04, seed: 7 });
    expect(problem.beat.firmness[7]).toBe(0.4);
    expect(problem.beat.firmness[0]).toBe(0.7);
    expect(problem.beat.firmness).toHaveLength(12);
  });

  test('direct lift raises the shafts named', () => {
    expect(rowText(smallSample(), 0)).toBe('#.'.repeat(12));
    expect(rowText(smallSample(), 1)).toBe('.#'.repeat(12));
  });

  // On a sinking shed the tied shafts go down and the rest stay up, so the same tie-up and treadling give the
  // complement of what a rising shed gives.
  test('treadles go through the tie-up, and a sinking shed gives the complement of a rising one', () => {
    const treadled = (action: 'rising' | 'sinking') =>
      sampleOf((file) => {
        Object.assign(file.loom, { control: { kind: 'treadles', treadles: 4, action } });
        Object.assign(file.warp, { tieUp: [[1, 3, 5, 7], [2, 4, 6, 8], [1, 2], [5]] });
        file.picks = file.picks.map((pick, i) => ({ ...(pick as object), lift: i === 0 ? [3, 4] : [1] }));
      });
    expect(rowText(treadled('rising'), 0)).toBe('##..#...'.repeat(3));
    expect(rowText(treadled('sinking'), 0)).toBe('..##.###'.repeat(3));
    expect(rowText(treadled('rising'), 1)).toBe('#.#.#.#.'.repeat(3));
  });

  test('what is legal but odd is remarked on with its place', () => {
    const body = sampleOf((file) => {
      file.warp.threading = '1-8 x2, 1-7, 0';
      Object.assign(file.picks[2] as object, { lift: [] });
    });
    const codes = toClothProblem(body).remarks.map(({ code, at }) => [code, at]);
    expect(codes).toContainEqual(['end-on-no-shaft', [24]]);
    expect(codes).toContainEqual(['no-end-lifted', [3]]);
  });
});
