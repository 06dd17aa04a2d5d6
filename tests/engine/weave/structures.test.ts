import { describe, expect, it, test } from 'vitest';
import { weaveStructure } from '#document/notation/weaveDraft.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { formatLifts } from '#engine/draft/formatNotation.ts';
import { rowsFromDrawdown, sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { measureFloats } from '#engine/weave/floats.ts';
import { endsChangingSide } from '#engine/weave/interlacement.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { draftOfStructure, FAMILIES, familyOf, structureOf } from '#engine/weave/structures/families.ts';
import type { RuleValue, StructureRule } from '#engine/weave/structures/ruleParams.ts';
import { satinOfTone } from '#engine/weave/structures/satins.ts';
import { weaveClass } from '#engine/weave/weaveClass.ts';
import { readWeaveCard } from '#io/cardFiles.ts';
import { layersByReach } from '#tests/helpers/layersByReach.ts';
import { demand, filesOf } from '#tests/presets/presetFiles.ts';
import { caseById } from '#tests/reference/cases.ts';

const drawdownOf = (rule: string, params: Record<string, RuleValue> = {}): Drawdown =>
  structureOf({ rule, ...params } as StructureRule).drawdown;
const rowsOf = (rule: string, params: Record<string, RuleValue> = {}) => rowsFromDrawdown(drawdownOf(rule, params));
const lifts = (drawdown: Drawdown) =>
  formatLifts(draftOfStructure({ drawdown, ends: [], picks: [], layers: 1 }).liftPlan);

/** A rule as usual, and with each thing that can be set a little otherwise. */
function variants(rule: string): StructureRule[] {
  const all: StructureRule[] = [{ rule }];
  for (const [key, param] of Object.entries(familyOf(rule).params)) {
    if (param.kind === 'choice') for (const option of param.options) all.push({ rule, [key]: option });
    if (param.kind === 'whole') all.push({ rule, [key]: param.usual + 2 }, { rule, [key]: param.least });
    if (param.kind === 'grid') all.push({ rule, [key]: '110/011/101' });
    if (param.kind === 'line') all.push({ rule, [key]: '1/4' }, { rule, [key]: '3/3' });
  }
  return all;
}

describe('layers', () => {
  // Clapham's criterion (1980) and a search that knows nothing of it agree with what each structure says of itself.
  test.each(filesOf('weaves'))('$id holds in as many cloths as it states', ({ text }) => {
    const { drawdown, layers, ends, picks } = demand(weaveStructure(demand(readWeaveCard(JSON.parse(text)))));
    expect(layersByReach(drawdown)).toBe(layers);
    expect(layersOf(drawdown).count).toBe(layers);
    expect([ends.length, picks.length]).toEqual([drawdown.ends, drawdown.rows]);
  });

  test.each(FAMILIES.map(({ rule }) => rule))('%s, whatever is set in it', (rule) => {
    let made = 0;
    for (const variant of variants(rule)) {
      let structure: ReturnType<typeof structureOf>;
      try {
        structure = structureOf(variant);
      } catch (error) {
        // What cannot be made is refused in words that say what to give instead.
        expect((error as Error).message).toMatch(/ [Gg]ive | Use |No move does|has 1 to \d+ binding/u);
        continue;
      }
      made++;
      expect(layersByReach(structure.drawdown), JSON.stringify(variant)).toBe(structure.layers);
      for (const { longest } of Object.values(measureFloats(structure.drawdown)))
        expect(longest).toBeLessThan(Number.POSITIVE_INFINITY);
    }
    expect(made).toBeGreaterThan(0);
  });

  it('the search finds the layers of published weaves too (WT-13)', () => {
    const { inputs, expected } = caseById<
      { matrices_rows_are_picks_1_is_warp_up: Record<string, number[][]> },
      { hangs_together: Record<string, boolean> }
    >('textile', 'WT-13');
    for (const [name, rows] of Object.entries(inputs.matrices_rows_are_picks_1_is_warp_up)) {
      const bits = Uint32Array.from(rows, (row) => row.reduce((sum, up, end) => sum + up * 2 ** end, 0));
      const one = layersByReach({ rows: rows.length, ends: rows[0].length, wordsPerRow: 1, bits }) === 1;
      expect(one, name).toBe(expected.hangs_together[name]);
    }
  });
});

describe('rules against published drafts', () => {
  it('SD-17: mock leno of three', () => {
    const { inputs } = caseById<Record<string, number[][]>, unknown>('textile', 'SD-17');
    expect(rowsOf('mockLeno', { size: 3 })).toEqual(Object.values(inputs)[0]);
  });

  it('SD-08: summer and winter, block A covered, B not', () => {
    const { expected } = caseById<unknown, { interlacement: number[][] }>('textile', 'SD-08');
    expect(rowsOf('summerAndWinter', { plan: '10', across: 1, along: 1 })).toEqual(expected.interlacement);
  });

  it('SD-10: M’s and O’s', () => {
    const { expected } = caseById<unknown, { interlacement: number[][] }>('textile', 'SD-10');
    expect(rowsOf('msAndOs', { units: 2, picks: 2 })).toEqual(expected.interlacement);
  });

  it('SD-14: double plain, either cloth uppermost, by Taylor’s rule', () => {
    const { expected } = caseById<unknown, Record<string, number[][]>>('textile', 'SD-14');
    expect(rowsOf('doublePlain')).toEqual(expected.black_on_face);
    expect(rowsOf('doublePlain', { upper: 'second threads' })).toEqual(expected.white_on_face);
  });

  it('SD-15: overshot blocks show float, half-tone, none, half-tone under each pattern pick', () => {
    const { expected } = caseById<unknown, { pattern_sheds: number[][]; tabbies: number[][] }>('textile', 'SD-15');
    const woven = drawdownOf('overshot', { order: '1 2 3 4', pairs: 2, picks: 2 });
    for (let block = 0; block < 4; block++) {
      const down = (of: number) => [0, 1, 2, 3].filter((k) => !isWarpUp(woven, 4 * block, 4 * of + k)).length;
      expect([0, 1, 2, 3].map((k) => down((block + k) % 4))).toEqual([4, 2, 0, 2]);
    }
    expect(expected.pattern_sheds).toHaveLength(distinctEnds(woven).firstOf.length);
    const tabby = rowsFromDrawdown(woven).filter((_, row) => row % 2 === 1);
    for (const row of tabby) row.forEach((up, end) => void expect(up).not.toBe(row[(end + 1) % row.length]));
  });

  it('WT-01 and WT-03: every satin counter makes one, by its lift order', () => {
    const { inputs, expected } = caseById<{ harness: number[] }, { satin_counters: number[][] }>('textile', 'WT-01');
    inputs.harness.forEach((ends, k) => {
      for (const move of expected.satin_counters[k]) {
        const rows = rowsOf('satin', { ends, move });
        expect(new Set(rows.map((row) => row.indexOf(1))).size).toBe(ends);
      }
    });
    const { expected: order } = caseById<unknown, { lift_order: number[] }>('textile', 'WT-03');
    expect(lifts(drawdownOf('satin', { ends: 5, move: 2 }))).toBe(order.lift_order.join(', '));
  });

  it('WT-06: the twill rule reaches every regular twill of up to seven ends', () => {
    const { expected } = caseById<unknown, { distinct_twills_period_n: number[] }>('textile', 'WT-06');
    for (let n = 2; n <= 7; n++) {
      const classes = new Set(
        compositions(n).map((parts) => weaveClass(drawdownOf('twill', { line: parts.join('/') }))),
      );
      // Shorter lines written twice, such as 1/1/1/1, are twills of that length and weave a repeat of n all the same.
      expect(classes.size, `period ${n}`).toBe(expected.distinct_twills_period_n[n - 1]);
    }
  });

  // Tie-up of waffle on four shafts as handbooks print it, from memory: 1, 2, 1+3, 1+2+4.
  it('waffle on four shafts has the handbooks’ tie-up', () => {
    const woven = draftOfStructure(structureOf({ rule: 'waffle', shafts: 4 }));
    const turned = rowsOf('waffle', { shafts: 4 }).map((row) =>
      [0, 1, 2, 3]
        .filter((end) => row[3 - end])
        .map((end) => end + 1)
        .join('+'),
    );
    expect(woven.shafts).toBe(4);
    expect(new Set(turned)).toEqual(new Set(['1', '2', '1+3', '1+2+4']));
  });

  // J. T. Taylor 1909, pp. 199–200: a back end may rise over a face pick only between two face warp floats.
  it('SD-12: stitches of a double cloth lie between face floats that cover them', () => {
    const { expected } = caseById<unknown, { rule: string[] }>('textile', 'SD-12');
    expect(expected.rule[1]).toContain('between two face warp floats');
    const lines: Record<string, string>[] = [{}, { face: '3/1' }, { face: '2/2', back: '3/1' }, { face: '4/4' }];
    for (const params of lines) {
      const plain = drawdownOf('doubleTwill', params);
      const { drawdown } = structureOf({ rule: 'stitchedDouble', ...params });
      let stitches = 0;
      for (let row = 0; row < plain.rows; row++) {
        for (let end = 0; end < plain.ends; end++) {
          if (isWarpUp(plain, row, end) === isWarpUp(drawdown, row, end)) continue;
          stitches++;
          for (const beside of [end - 1, end + 1]) {
            const at = (beside + plain.ends) % plain.ends;
            expect(isWarpUp(plain, row, at) && at % 2 === 0 && row % 2 === 0).toBe(true);
          }
        }
      }
      expect(stitches).toBe(plain.ends / 2);
    }
  });
});

describe('what handbooks ask of structures (common practice)', () => {
  it('herringbone and turned blocks cut at their joins', () => {
    const bone = rowsOf('herringbone', { line: '2/2', run: 8 });
    for (const row of bone) for (const end of [7, 15]) expect(row[end]).not.toBe(row[(end + 1) % 16]);
    for (const [rule, params] of [
      ['turnedTwill', {}],
      ['turnedSatin', { ends: 15, picks: 15 }],
      ['turnedSatin', { satin: 8, move: 3 }],
    ] as const) {
      const rows = rowsOf(rule, params);
      const half = rows.length / 2;
      for (const row of rows)
        for (const end of [half - 1, 2 * half - 1]) expect(row[end]).not.toBe(row[(end + 1) % (2 * half)]);
      for (const pick of [half - 1, 2 * half - 1]) {
        rows[pick].forEach((up, end) => void expect(up).not.toBe(rows[(pick + 1) % (2 * half)][end]));
      }
    }
  });

  it('shaded satin goes in equal steps of binding points, and of each tone as many ends change sides', () => {
    const rows = rowsOf('shadedSatin', { repeats: 2 });
    rows.forEach((row, pick) => {
      expect(row.reduce((sum, up) => sum + up, 0)).toBe(1 + Math.floor(pick / 16));
    });
    for (let up = 1; up <= 7; up++) {
      const tone = satinOfTone(8, 3, up);
      expect([...endsChangingSide(tone)]).toEqual(Array(8).fill(2));
      // The ends of the scale are the sateen and the satin of the same move.
      if (up === 1) expect(sameDrawdown(tone, drawdownOf('satin'))).toBe(true);
      if (up === 7) expect(weaveClass(tone)).toBe(weaveClass(drawdownOf('satin', { face: 'warp' })));
    }
  });

  it('crepes have no float above three', () => {
    for (const rule of ['crepe', 'turnedCrepe']) {
      for (const { longest } of Object.values(measureFloats(drawdownOf(rule)))) expect(longest).toBeLessThanOrEqual(3);
    }
  });

  it('wadding lies between face and back: under every face end, over every back end, and in no cord’s face', () => {
    const padded = structureOf({ rule: 'matelasse' });
    padded.picks.forEach((pick, row) => {
      if (pick !== 'wadding') return;
      padded.ends.forEach((end, at) => void expect(isWarpUp(padded.drawdown, row, at)).toBe(end === 'face'));
    });
    const cord = structureOf({ rule: 'bedfordCord' });
    const half = cord.ends.length / 2;
    cord.ends.forEach((role, end) => {
      if (role !== 'wadding') return;
      const own = Math.floor(end / half);
      for (let row = 0; row < 4; row++) expect(isWarpUp(cord.drawdown, row, end)).toBe(Math.floor(row / 2) !== own);
    });
  });

  it('back picks are bound where face picks on both sides cover them', () => {
    const { drawdown } = structureOf({ rule: 'backed', face: '1/4' });
    for (let row = 1; row < drawdown.rows; row += 2) {
      const bound = [0, 1, 2, 3, 4].filter((end) => !isWarpUp(drawdown, row, end));
      expect(bound).toHaveLength(1);
      expect(isWarpUp(drawdown, row - 1, bound[0])).toBe(false);
      expect(isWarpUp(drawdown, (row + 1) % drawdown.rows, bound[0])).toBe(false);
    }
  });

  it('needs the shafts that handbooks give: satins their ends, double plain 4, deflected double weave 8, triple plain 6', () => {
    const shafts = (rule: string, params: Record<string, RuleValue> = {}) =>
      distinctEnds(drawdownOf(rule, params)).firstOf.length;
    expect([shafts('satin'), shafts('doublePlain'), shafts('deflectedDouble'), shafts('triplePlain')]).toEqual([
      8, 4, 8, 6,
    ]);
    expect([shafts('overshot'), shafts('msAndOs'), shafts('huck'), shafts('mockLeno')]).toEqual([4, 4, 4, 4]);
    // The treadles of a waffle are as many as its shafts.
    expect(distinctPicks(drawdownOf('waffle', { shafts: 8 })).firstOf).toHaveLength(8);
  });
});

describe('what cannot be made is said', () => {
  test.each([
    [{ rule: 'sheepshank' }, /no rule "sheepshank". Use one of plain/u],
    [{ rule: 'satin', ends: 6, move: 2 }, /No move does/u],
    [{ rule: 'satin', ends: 8, move: 2 }, /Use 3, 5/u],
    [{ rule: 'satin', ends: 8.5 }, /give a whole number from 5 to 64/u],
    [{ rule: 'twill', line: '2/2/1' }, /over and under in turn/u],
    [{ rule: 'twill', line: '2/2', step: 4 }, /leaves a line of 4 where it is/u],
    [{ rule: 'twill', fraction: '2/2' }, /has no "fraction". It has line, step/u],
    [{ rule: 'huck', size: 4 }, /give an odd number/u],
    [{ rule: 'summerAndWinter', plan: '10/0' }, /rows of 0 and 1 of one length/u],
    [{ rule: 'pockets', ends: 256, picks: 256, plan: '1'.repeat(100) }, /at most 4096 each/u],
    [{ rule: 'stitchedDouble', face: '1/3' }, /stitches would show; give a face line/u],
    [{ rule: 'irregularSatin', order: '1 2 2 4' }, /name each of 1 to 4 once/u],
  ])('%j', (rule, message) => {
    expect(() => structureOf(rule as StructureRule)).toThrow(message);
  });
});

/** Ways to write n as an even number of parts. */
function compositions(n: number): number[][] {
  const all: number[][] = [];
  const go = (parts: number[], left: number) => {
    if (left === 0 && parts.length % 2 === 0) all.push(parts);
    for (let part = 1; part <= left; part++) go([...parts, part], left - part);
  };
  go([], n);
  return all;
}
