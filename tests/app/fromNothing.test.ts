import { describe, expect, test } from 'vitest';
import { checkedSample } from '#app/checks/checkedSample.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { Command } from '#document/commands/command.ts';
import { weaveFitted } from '#document/commands/draftCommands.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { fitDrawdown } from '#document/fitDrawdown.ts';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import { sampleOnWarp } from '#document/sampleOnWarp.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { sampleWithFault } from '#document/whatIf.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { sameDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import { FLOAT_LIMIT_MM } from '#engine/weave/checks/uses.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { blockDraft } from '#engine/weave/structures/blockDraft.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { readLoomCard, readWarpCard, readWeaveCard, readYarnCard } from '#io/cardFiles.ts';
import { finish } from '#tests/helpers/finish.ts';
import { card, demand } from '#tests/presets/presetFiles.ts';

/** A warp of one's own on the Q24, as it may be begun on the page. */
function emptyQ24(endsPerCm: number): Sample {
  const begun = sampleOnWarp(
    {
      loom: card('looms', 'q24', readLoomCard),
      warpYarns: [card('yarns', 'cotton-16-2', readYarnCard)],
      weftYarn: card('yarns', 'cotton-16-2', readYarnCard),
      ends: 96,
      endsPerCm,
      threading: '1-24',
      picks: 96,
    },
    'from nothing',
  );
  if (!begun.ok) throw new Error(begun.problems[0].message);
  return begun.value;
}

function done(sample: Sample, command: Command): Sample {
  const store = createSampleStore(sample);
  const refusal = store.dispatch(command);
  if (refusal) throw new Error(refusal.message);
  return store.state.getState().sample;
}

const weave = (id: string) => {
  const { threading, liftPlan } = demand(weaveDraft(card('weaves', id, readWeaveCard)));
  return computeDrawdown(threading, liftPlan);
};
const drawdownOf = (body: SampleBody) => toClothProblem(body).problem.drawdown;

function floatsOf(sample: Sample, limitMm: number | null) {
  const cloth = sampleCloth(sample);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const result = finish<Forecast>(forecastCloth(cloth.value.problem, 'preview'));
  return checkCloth(checkedSample(sample, cloth.value, result, 'onLoom'), limitMm).flatMap((finding) =>
    finding.kind === 'longFloat' ? [finding] : [],
  );
}

describe('from an empty loom to a cloth that holds', () => {
  test('two blocks of double cloth, layers changing places, on eight of the Q24’s shafts', () => {
    const made = blockDraft({
      plan: [
        [0, 1],
        [1, 0],
      ],
      structures: [weave('double-plain'), weave('double-plain-exchanged')],
      blockEnds: 48,
      blockPicks: 48,
      shafts: 24,
    });
    // Four shafts a block: common practice.
    expect(made.shaftsNeeded).toBe(8);
    const empty = emptyQ24(12);
    const fitted = fitDrawdown(empty, made.drawdown);
    expect(fitted.changed).toBe(0);
    const woven = done(empty, weaveFitted({ fitted, fromPick: 1, what: 'two blocks' }));
    expect(sameDrawdown(drawdownOf(woven), made.drawdown)).toBe(true);
    expect(new Set(readWarp(woven.warp).threading).size).toBe(8);
    expect(layersOf(tile(weave('double-plain'), 8, 8)).count).toBe(2);

    // The P8 has eight shafts too, but its threading and tie-up are on it.
    const loom = card('looms', 'p8', readLoomCard);
    const warp = card('warps', 'towel', (json) => readWarpCard(json, loom));
    const p8: Sample = { ...woven, loom, warp, yarns: { ...woven.yarns, ...warp.yarns } };
    const there = fitDrawdown(p8, tile(made.drawdown, 96, warp.ends));
    expect(there.threading).toBeUndefined();
    expect(there.changed).toBeGreaterThan(0);
    const near = done(
      { ...p8, picks: p8.picks.map((pick) => ({ ...pick, lift: [] })) },
      weaveFitted({ fitted: there, fromPick: 1, what: 'the nearest' }),
    );
    const asked = tile(made.drawdown, 96, warp.ends);
    const differing = drawdownOf(near).bits.map((word, i) => word ^ asked.bits[i]);
    expect([...differing].reduce((sum, word) => sum + word.toString(2).replaceAll('0', '').length, 0)).toBe(
      there.changed,
    );
  });

  test('a matelassé, one cloth, on a warp threaded for it', () => {
    const matelasse = structureOf({ rule: 'matelasse', places: 6 });
    const empty = emptyQ24(16);
    const fitted = fitDrawdown(empty, tile(matelasse.drawdown, 96, 96));
    expect(fitted.changed).toBe(0);
    const woven = done(empty, weaveFitted({ fitted, fromPick: 1, what: 'matelassé' }));
    expect(standingOn(warpedLoomOf(woven), matelasse).kind).toBe('here');
    expect(layersOf(drawdownOf(woven)).count).toBe(1);
  });

  test('a float of 14 mm is told of and is gone in a closer weave', () => {
    const empty = emptyQ24(5);
    const sateen = standingOn(warpedLoomOf(empty), structureOf({ rule: 'satin', ends: 8, move: 3, face: 'weft' }));
    const repeat = (standing: typeof sateen) => liftsOf(standing).map((lift) => ({ lift }));
    const open = done(empty, weaveStructure({ picks: { from: 1, to: 96 }, repeat: repeat(sateen), name: 'sateen' }));
    const [float] = floatsOf(open, FLOAT_LIMIT_MM.scarves);
    expect(float).toMatchObject({ system: 'weft', side: 'face' });
    // Seven ends at 5 to the cm are 14 mm in the reed; cloth draws in a little.
    expect(float.longestMm).toBeGreaterThan(12.5);
    expect(float.longestMm).toBeLessThan(14.5);
    const twill = standingOn(warpedLoomOf(open), structureOf({ rule: 'twill', line: '2/2', step: 1 }));
    const closed = done(open, weaveStructure({ picks: { from: 1, to: 96 }, repeat: repeat(twill), name: 'twill' }));
    expect(floatsOf(closed, FLOAT_LIMIT_MM.scarves)).toEqual([]);
  });

  test('an end skipped in one lift is one crossing, where the weft comes to the face instead', () => {
    const empty = emptyQ24(12);
    const fitted = fitDrawdown(empty, tile(weave('double-plain'), 96, 96));
    const woven = done(empty, weaveFitted({ fitted, fromPick: 1, what: 'double plain' }));
    const drawdown = drawdownOf(woven);
    // An end of the lower cloth, over its own weft: skipped, it stays below it.
    const pick = 2;
    const up = (end: number) => (drawdown.bits[(pick - 1) * drawdown.wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1;
    const body = sampleWithFault(woven, {
      kind: 'skippedEnd',
      pick,
      end: [...Array(96).keys()].find((end) => up(end) && end % 2 === 1)! + 1,
    });
    if ('message' in body) throw new Error(body.message);
    const faulty = drawdownOf(body);
    const changed = [...faulty.bits].flatMap((word, i) => (word === drawdown.bits[i] ? [] : [i]));
    expect(changed.map((i) => Math.floor(i / drawdown.wordsPerRow))).toEqual([pick - 1]);
    expect(drawdown.bits[changed[0]] & ~faulty.bits[changed[0]]).not.toBe(0);
  });
});
