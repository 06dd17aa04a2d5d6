import { describe, expect, test } from 'vitest';
import { checkedSample } from '#app/checks/checkedSample.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { Command } from '#document/commands/command.ts';
import { weaveFitted } from '#document/commands/draftCommands.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { setEndYarn, setReed, setThreading, setWarpFixed } from '#document/commands/warpCommands.ts';
import { setPlan } from '#document/commands/weavingCommands.ts';
import { fitDrawdown } from '#document/fitDrawdown.ts';
import { pieceQuantities } from '#document/pieceQuantities.ts';
import { sampleOnWarp, type WarpPlan } from '#document/sampleOnWarp.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import type { Finding } from '#engine/weave/checks/checkTypes.ts';
import { type ClothUse, FLOAT_LIMIT_MM } from '#engine/weave/checks/uses.ts';
import { blockDraft, mergesThatFit } from '#engine/weave/structures/blockDraft.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { readLoomCard, readYarnCard } from '#io/cardFiles.ts';
import { finish } from '#tests/helpers/finish.ts';
import { card } from '#tests/presets/presetFiles.ts';

/** Tasks from a harbour town, invented; their numbers are inputs, what comes of them is common practice where not said. */

const yarn = (id: string, more: Partial<YarnCard> = {}): YarnCard => {
  const known = card('yarns', id, readYarnCard);
  return { ...known, ...more };
};
const loom = (id: string, shafts?: number) => {
  const known = card('looms', id, readLoomCard);
  return shafts === undefined
    ? known
    : { ...known, id: `table-${shafts}`, name: 'table loom', shafts, knownFaults: [] };
};

function begun(plan: Omit<WarpPlan, 'picks'> & { readonly picks?: number }): Sample {
  const outcome = sampleOnWarp({ picks: 64, ...plan }, 'a brief');
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
}

function done(sample: Sample, ...commands: Command[]): Sample {
  const store = createSampleStore(sample);
  for (const command of commands) {
    const refusal = store.dispatch(command);
    if (refusal) throw new Error(refusal.message);
  }
  return store.state.getState().sample;
}

const all = (sample: Sample) => ({ from: 1, to: sample.picks.length });

function inStructure(sample: Sample, rule: Parameters<typeof structureOf>[0]): Sample {
  const standing = standingOn(warpedLoomOf(sample), structureOf(rule));
  expect(standing.kind).toBe('here');
  const repeat = liftsOf(standing).map((lift) => ({ lift }));
  return done(sample, weaveStructure({ picks: all(sample), repeat, name: String(rule.rule) }));
}

function forecastOf(sample: Sample) {
  const cloth = sampleCloth(sample);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  return { cloth: cloth.value, result: finish<Forecast>(forecastCloth(cloth.value.problem, 'preview')) };
}

function findings(sample: Sample, limitMm: number | null): Finding[] {
  const { cloth, result } = forecastOf(sample);
  return checkCloth(checkedSample(sample, cloth, result, 'onLoom'), limitMm);
}

const limit = (use: ClothUse) => FLOAT_LIMIT_MM[use];
const longFloats = (found: readonly Finding[]) => found.flatMap((each) => (each.kind === 'longFloat' ? [each] : []));
const only = <Kind extends Finding['kind']>(found: readonly Finding[], kind: Kind) =>
  found.filter((each): each is Extract<Finding, { kind: Kind }> => each.kind === kind);

describe('the ferry saloon’s seat: twill blocks with plain between, sixteen shafts', () => {
  const begin = () =>
    begun({
      loom: loom('q16'),
      warpYarns: [yarn('merino-nm-28-2', { coneColour: '#1e2a44' })],
      weftYarn: yarn('worsted-2-18', { coneColour: '#9a4a24' }),
      ends: 108,
      endsPerCm: 18,
      threading: '1-16',
    });
  const structures = ['3/1', '1/3', 'plain'].map((line) =>
    line === 'plain' ? structureOf({ rule: 'plain' }) : structureOf({ rule: 'twill', line, step: 1 }),
  );
  const plan = [
    [0, 2, 1],
    [2, 1, 0],
    [1, 0, 2],
  ];

  test('three blocks of three structures take twelve shafts, and four of them too many for eight are merged', () => {
    const request = { plan, structures: structures.map(({ drawdown }) => drawdown), blockEnds: 18, blockPicks: 18 };
    const made = blockDraft({ ...request, shafts: 16 });
    expect([made.blocks, made.shaftsNeeded]).toEqual([3, 12]);
    const small = blockDraft({ ...request, shafts: 8 });
    expect([small.draft, small.blocksThatFit]).toEqual([null, 2]);
    expect(mergesThatFit({ ...request, shafts: 8 })?.merges).toHaveLength(1);

    const empty = begin();
    const wanted = tile(made.drawdown, 64, 108);
    const fitted = fitDrawdown(empty, wanted);
    expect(fitted.changed).toBe(0);
    const woven = done(empty, weaveFitted({ fitted, fromPick: 1, what: 'blocks' }));
    expect(new Set(readWarp(woven.warp).threading).size).toBe(12);
    // Floats of the turns are told in mm before a thread is drawn in: 18 ends a cm, so that five make 2.8 mm.
    const floats = longFloats(findings(woven, 1.5));
    expect(floats.length).toBeGreaterThan(0);
    for (const { system, threads, longestMm } of floats) {
      expect(threads).toBeGreaterThanOrEqual(3);
      if (system === 'weft') expect(longestMm / threads).toBeLessThan((10 / 18) * 1.1);
    }
    // Upholstery lets pass 3 mm (common practice): a twill of three at this sett is within it.
    const across = longFloats(findings(woven, limit('upholstery'))).filter(({ system }) => system === 'weft');
    expect(across.every(({ threads }) => threads > 5)).toBe(true);
  });
});

describe('the fish market’s towels: four shafts, point twill', () => {
  test('304 ends lie 15.2 in wide in the reed, which a loss of 21 % brings to 12 in', () => {
    const table = { ...loom('q16', 4), reedsDentsPerCm: [10 / 2.54] };
    const towels = begun({
      loom: table,
      warpYarns: [yarn('cotton-8-2')],
      weftYarn: yarn('cotton-8-2'),
      ends: 304,
      endsPerCm: 20 / 2.54,
      threading: 'point 4',
    });
    expect(towels.warp.reed).toEqual({ dentsPerCm: 10 / 2.54, endsPerDent: 2 });
    expect(304 / 2 / 10).toBeCloseTo(12 / (1 - 0.21), 1);
    inStructure(towels, { rule: 'pointedTwill', line: '2/2', reach: 4, picks: 'pointed: diamonds' });
  });
});

describe('the lifeboat crew’s scarves: chenille on point twill', () => {
  test('pile floats over two ends are flagged; plain weave ties them down, and both say their hours', () => {
    const begin = begun({
      loom: loom('q16', 4),
      warpYarns: [yarn('cotton-8-2')],
      weftYarn: yarn('viscose-chenille-1450'),
      ends: 60,
      endsPerCm: 6,
      threading: 'point 4',
      picks: 48,
    });
    const twill = inStructure(begin, { rule: 'pointedTwill', line: '2/2', reach: 4, picks: 'pointed: diamonds' });
    const worms = only(findings(twill, limit('scarves')), 'pileFloat');
    // A point in a 2/2 twill floats over three.
    expect(worms.map(({ threads }) => threads)).toContain(3);
    expect(only(findings(begin, limit('scarves')), 'pileFloat')).toEqual([]);
    const hours = (sample: Sample) => {
      const { cloth, result } = forecastOf(sample);
      return pieceQuantities(sample, cloth, result.readings).time.totalMin;
    };
    const longer = inStructure(begun({ ...plain(begin), picks: 60 }), { rule: 'plain' });
    expect(hours(longer)).toBeGreaterThan(hours(twill));
  });
});

describe('the sail loft’s cushions: matelassé on sixteen', () => {
  test('it threads, holds as one cloth, wants a second beam, and its longest float on the back is told', () => {
    const matelasse = structureOf({ rule: 'matelasse', places: 6 });
    const empty = begun({
      loom: loom('q16'),
      warpYarns: [yarn('cotton-16-2')],
      weftYarn: yarn('cotton-16-2'),
      ends: 120,
      endsPerCm: 20,
      threading: '1-16',
      picks: 80,
    });
    const fitted = fitDrawdown(empty, tile(matelasse.drawdown, 80, 120));
    expect(fitted.changed).toBe(0);
    const wefts = matelasse.picks.map((role) => (role === 'wadding' ? ['wool'] : undefined));
    const withWool = { ...empty, yarns: { ...empty.yarns, wool: { ...yarn('woollen-2ply'), id: 'wool' } } };
    const woven = done(withWool, weaveFitted({ fitted, fromPick: 1, what: 'matelassé', wefts }));
    const found = findings(woven, limit('upholstery'));
    expect(only(found, 'layers')).toEqual([]);
    expect(only(found, 'secondBeam')).toHaveLength(1);
    const back = longFloats(found).filter(({ side }) => side === 'back');
    expect(Math.max(...back.map(({ longestMm }) => longestMm))).toBeGreaterThan(3);
  });
});

describe('the tide line shawl: deflected double weave on eight', () => {
  test('a warp of eight shafts is threaded for it and weaves it', () => {
    const deflected = structureOf({ rule: 'deflectedDouble', ends: 4, picks: 4 });
    const shawl = begun({
      loom: loom('q16', 8),
      warpYarns: [yarn('merino-nm-28-2')],
      weftYarn: yarn('cotton-20-2'),
      ends: 96,
      endsPerCm: 16 / 2.54,
      threading: '1-8',
    });
    const fitted = fitDrawdown(shawl, tile(deflected.drawdown, 64, 96));
    expect(fitted.changed).toBe(0);
    const woven = done(shawl, weaveFitted({ fitted, fromPick: 1, what: 'deflected double' }));
    expect(standingOn(warpedLoomOf(woven), deflected).kind).toBe('here');
    expect(Math.max(...readWarp(woven.warp).threading)).toBeLessThanOrEqual(8);
  });
});

describe('the first year’s week of samples: a warp that is shared', () => {
  test('only lifts and wefts can be changed; a point design comes out as near as it can; about a thousand picks are told', () => {
    const shared = done(
      begun({
        loom: loom('q16', 8),
        warpYarns: [yarn('cotton-16-2', { coneColour: '#f4f2ea' })],
        weftYarn: yarn('cotton-16-2'),
        ends: 128,
        endsPerCm: 32 / 2.54,
        threading: '1-8',
        // 15 cm at 28 picks an inch.
        picks: 165,
      }),
      setWarpFixed(true),
    );
    const refused = (command: Command) => createSampleStore(shared).dispatch(command)?.message;
    for (const command of [
      setThreading('point 8'),
      setReed({ endsPerDent: 1 }),
      setEndYarn({ ends: { from: 1, to: 4 }, strands: ['cotton-16-2'] }),
    ]) {
      expect(refused(command)).toMatch(/on the loom and cannot change/);
    }
    const diamonds = structureOf({ rule: 'pointedTwill', line: '2/2', reach: 8, picks: 'pointed: diamonds' });
    const fitted = fitDrawdown(shared, tile(diamonds.drawdown, 165, 128));
    expect(fitted.threading).toBeUndefined();
    expect(fitted.changed).toBeGreaterThan(0);
    const near = done(shared, weaveFitted({ fitted, fromPick: 1, what: 'the nearest' }));
    expect(near.warp).toEqual(shared.warp);
    const six = done(near, setPlan({ pieces: 6 }));
    const { cloth, result } = forecastOf(six);
    const { time, picksPerMinute } = pieceQuantities(six, cloth, result.readings);
    const picks = time.throwsMin * picksPerMinute;
    expect(picks).toBeGreaterThan(950);
    expect(picks).toBeLessThan(1050);
    expect(toClothProblem(six).problem.drawdown.ends).toBe(128);
  });
});

/** The plan that a sample was begun on, to begin it again. */
function plain(sample: Sample): Omit<WarpPlan, 'picks'> {
  const { loom: on, warp, yarns } = sample;
  const weft = yarns[sample.picks[0].passes[0].strands[0]];
  const warpYarn = Object.values(yarns).find(({ id }) => id !== weft.id) ?? weft;
  return { loom: on, warpYarns: [warpYarn], weftYarn: weft, ends: warp.ends, endsPerCm: 6, threading: 'point 4' };
}
