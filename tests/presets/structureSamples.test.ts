import { describe, expect, test } from 'vitest';
import { lightnessGap } from '#app/model/lightnessGap.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { measureFloats } from '#engine/weave/floats.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import type { StructureRule } from '#engine/weave/structures/ruleParams.ts';
import { isUp } from '#engine/weave/structures/structureTypes.ts';
import { sample } from './presetFiles.ts';

type Body = Parameters<typeof toClothProblem>[0];

const version = (id: string, name: string): Body => sample(id).versions.find((kept) => kept.name === name)!.body;
const drawdownOf = (body: Body) => toClothProblem(body).problem.drawdown;

function lengthMm(body: Body): number {
  const { rowYMm } = rowPositions(toClothProblem(body).problem, false);
  return rowYMm[rowYMm.length - 1] - rowYMm[0];
}

/** Crossings of rows from `first` on that are otherwise than the rule's repeat, begun there. */
function otherThan(drawdown: Drawdown, rule: StructureRule, first = 0): number {
  const repeat = structureOf(rule).drawdown;
  let other = 0;
  for (let row = first; row < drawdown.rows; row++) {
    for (let end = 0; end < drawdown.ends; end++) {
      if (isWarpUp(drawdown, row, end) !== isUp(repeat, row - first, end)) other++;
    }
  }
  return other;
}

describe('samples of structures do what they say', () => {
  // A tenth more or less passes for the same size (common practice); a disappointment must be well beyond it.
  test('swell: an undulating twill in a weft of changing colours; beaten hard its waves lose a fifth and more', () => {
    const body = sample('swell');
    expect(
      otherThan(drawdownOf(body), { rule: 'undulatingTwill', line: '4/4/1/3/1/3', holds: '1 1 2 3 3 2 1 1' }),
    ).toBe(0);
    const wefts = new Set(body.picks.map(({ passes }) => passes[0].strands[0]));
    expect([...wefts].map((id) => body.yarns[id].colourRepeat !== undefined)).toEqual([true]);
    expect(lengthMm(version('swell', 'too flat')) / lengthMm(version('swell', 'one blue'))).toBeLessThan(0.8);
  });

  test('fog bank: seven tones in equal steps of binding points; in mist they are one lightness', () => {
    const body = sample('fog-bank');
    const drawdown = drawdownOf(body);
    for (let row = 0; row < drawdown.rows; row++) {
      const up = Array.from({ length: drawdown.ends }, (_, end) => end).filter((end) => isWarpUp(drawdown, row, end));
      expect(up.length / drawdown.ends).toBe((1 + Math.floor(row / 16)) / 8);
    }
    const gap = (of: Body) => {
      const cloth = sampleCloth({ ...of, versions: [] });
      if (!cloth.ok) throw new Error(cloth.trouble.why);
      return lightnessGap(cloth.value);
    };
    expect(gap(body).tooSmall).toBe(false);
    expect(gap(version('fog-bank', 'too faint')).tooSmall).toBe(true);
  });

  test('net-store towel: waffle over a plain hem; the shallow one has wefts of less than half the weight', () => {
    const body = sample('net-store-towel');
    const drawdown = drawdownOf(body);
    expect(otherThan(drawdown, { rule: 'waffle', shafts: 5 }, 8)).toBe(0);
    // Floats of a waffle on n shafts: 2 n − 3 of the weft, 2 n − 5 of the warp (from its point draw).
    expect(measureFloats(drawdown, 'piece').weftOnFace.longest).toBe(7);
    expect(measureFloats(drawdown, 'piece').warpOnFace.longest).toBe(5);
    const shallow = version('net-store-towel', 'too shallow');
    const tex = (of: Body) => Math.max(...of.picks.map(({ passes }) => of.yarns[passes[0].strands[0]].tex));
    expect(tex(shallow) / tex(body)).toBeLessThan(0.5);
    expect(lengthMm(shallow) / lengthMm(body)).toBeLessThan(0.9);
  });

  test.each([
    ['cobbles-large', 22],
    ['cobbles-tiny', 4],
  ])('%s: 45 ends in the inch, wadding held between face and back, one cloth', (id, places) => {
    const body = sample(id);
    const { reed } = body.warp;
    // 6 dents of 3 are 45.7 in the inch: within a fiftieth of 45.
    expect((reed.dentsPerCm * Number(reed.endsPerDent) * 2.54) / 45).toBeCloseTo(1, 1);
    const drawdown = drawdownOf(body);
    expect(layersOf(drawdown).count).toBe(1);
    let stitches = 0;
    for (let row = 0; row < drawdown.rows; row += 4) {
      for (let end = 2; end < drawdown.ends; end += 3) if (isWarpUp(drawdown, row, end)) stitches++;
    }
    // Each unit of picks stitches where the point draw crosses its place: twice in a repeat, once at the turns.
    const perRepeat = 2 * (places - 1);
    const units = drawdown.rows / 4;
    const expected = Array.from({ length: units }, (_, unit) => {
      const turn = unit % (places - 1) === 0;
      return ((turn ? 1 : 2) * 42) / perRepeat;
    }).reduce((sum, count) => sum + count, 0);
    expect(stitches).toBe(expected);
    const wefts = (of: Body) => new Set(of.picks.map(({ passes }) => passes[0].strands.join('+')));
    expect(wefts(body)).toEqual(new Set(['lime', 'wad', 'stone+pull']));
    expect(wefts(version(id, 'too flat'))).toEqual(new Set(['lime', 'stone']));
  });

  test('float pockets: every block is two layers; the pick woven wrong joins them, and no other', () => {
    const meant = drawdownOf(sample('float-pockets'));
    const closed = drawdownOf(version('float-pockets', 'too closed'));
    const block = (of: Drawdown, row: number, column: number) => {
      const rows = Array.from({ length: 24 }, (_, k) =>
        Array.from({ length: 24 }, (__, e) => isWarpUp(of, 24 * row + k, 24 * column + e)),
      );
      const bits = Uint32Array.from(rows, (cells) => cells.reduce((sum, up, end) => sum + (up ? 2 ** end : 0), 0));
      return layersOf({ rows: 24, ends: 24, wordsPerRow: 1, bits }).count;
    };
    let joined = 0;
    for (let row = 0; row < 4; row++) {
      for (let column = 0; column < 6; column++) {
        expect(block(meant, row, column)).toBe(2);
        if (block(closed, row, column) === 1) {
          joined++;
          expect(row).toBe(2);
        }
      }
    }
    expect(joined).toBe(3);
    const changed = Array.from({ length: 96 }, (_, row) => row).filter((row) =>
      Array.from({ length: 144 }, (__, end) => end).some(
        (end) => isWarpUp(meant, row, end) !== isWarpUp(closed, row, end),
      ),
    );
    expect(changed).toEqual([60]);
  });

  test('tide table: bars of summer and winter bound at every fourth end; in heavy chenille they grow tall', () => {
    const body = sample('tide-table');
    const drawdown = drawdownOf(body);
    expect(measureFloats(drawdown, 'piece').weftOnFace.longest).toBe(3);
    const covered = (row: number) =>
      [0, 1, 2, 3, 4, 5].filter((block) => !isWarpUp(drawdown, row, 16 * block + 1)).length;
    // Pattern picks are every second; twelve picks of three units to a step.
    for (let step = 0; step < 6; step++) expect(covered(12 * step + 1)).toBe(6 - step);
    // A sixth taller is seen at a glance: square repeats differ from oblong ones by a tenth (common practice).
    expect(lengthMm(version('tide-table', 'too tall')) / lengthMm(body)).toBeGreaterThan(1.15);
  });
});
