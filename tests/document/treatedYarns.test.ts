import { describe, expect, test } from 'vitest';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { shareOnFace, treatedYarns } from '#document/treatedYarns.ts';
import { readSamplePreset } from '#io/presets.ts';

async function boatPaint() {
  const read = await readSamplePreset('boat-paint');
  if (!read.ok) throw new Error(read.problems[0].message);
  return toClothProblem(read.value);
}

const dye = (kind: 'acid' | 'fibreReactive', colour = '#2d6f8f'): Treatment => ({
  kind: 'overdye',
  dye: kind,
  colour,
  depth: 1,
});

describe('yarns after the loom', () => {
  test('cotton and rayon take a fibre-reactive dye in one bath, film stays', async () => {
    const { problem, materials } = await boatPaint();
    const treated = treatedYarns(problem, materials, [dye('fibreReactive')]);
    const changed = materials.map(({ strands }, k) => strands[0].coneColour !== treated[k].strands[0].coneColour);
    expect(materials.map(({ strands }) => !/film/.test(strands[0].fibre))).toEqual(changed);
    expect(changed).toContain(true);
    expect(changed).toContain(false);
    expect(treatedYarns(problem, materials, [dye('acid')]).map(({ strands }) => strands)).toEqual(
      materials.map(({ strands }) => strands),
    );
  });

  test('a brush on the back of a sateen raises the warp that lies there more than the weft', async () => {
    const { problem, materials } = await boatPaint();
    const onFace = shareOnFace(problem);
    for (const [yarn, share] of onFace.entries()) {
      const warp = problem.endYarn.includes(yarn);
      const weft = problem.rowYarn.includes(yarn);
      // 8-end sateen: the warp is up once in eight, the weft seven times; plain borders bring both nearer to a half.
      if (warp && !weft) expect(share).toBeLessThan(0.3);
      if (weft && !warp) expect(share).toBeGreaterThan(0.7);
    }
    const lengths = (side: 'face' | 'back' | 'both') =>
      treatedYarns(problem, materials, [{ kind: 'brush', side, strength: 'raised' }]).map(({ hair }) =>
        hair ? hair.perMm * hair.meanLengthMm : 0,
      );
    const [face, back, both] = [lengths('face'), lengths('back'), lengths('both')];
    materials.forEach(({ strands }, k) => {
      if (!/cotton/.test(strands[0].fibre)) return;
      const more = problem.endYarn.includes(k) ? back[k] : face[k];
      const less = problem.endYarn.includes(k) ? face[k] : back[k];
      if (problem.endYarn.includes(k) !== problem.rowYarn.includes(k)) expect(more).toBeGreaterThan(less);
      expect(both[k]).toBeGreaterThan(more);
    });
  });
});
