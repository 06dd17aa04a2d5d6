import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkSampleBody } from '#document/check/checkSample.ts';
import { addTreatment, changeTreatment, moveTreatment, removeTreatment } from '#document/commands/afterLoomCommands.ts';
import { fixPicksPerCm, setBeat, setBeatScatter, setBeatTrace } from '#document/commands/beatCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { addPass, removePass, setPassShape, setPassYarn } from '#document/commands/passCommands.ts';
import { copyPicks, deletePicks, insertPicks, setLift } from '#document/commands/pickCommands.ts';
import { renameSample, setFinish, setHanging, setNotes } from '#document/commands/sampleCommands.ts';
import { deleteVersion, keepVersion, loadSample, restoreVersion } from '#document/commands/versionCommands.ts';
import { setEndYarn, setWarpFixed, setWarpTension } from '#document/commands/warpCommands.ts';
import {
  addYarn,
  removeYarn,
  renameYarn,
  setYarnColour,
  setYarnCount,
  setYarnLeft,
} from '#document/commands/yarnCommands.ts';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { WeftPass } from '#document/schema/pickSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { cottonCard, smallSample } from './smallSample.ts';

// Mostly arguments that can be carried out; now and then one that must be refused.
const yarn = fc.constantFrom('kelp', 'gull', 'tar', 'rope', 'kelp', 'gull', 'tar', 'rope', 'buoy', 'mud');
const strands = fc.array(yarn, { minLength: 1, maxLength: 2 });
const pick = fc.integer({ min: 0, max: 12 });
const pass = fc.integer({ min: 1, max: 3 });
const end = fc.integer({ min: 0, max: 26 });
const spanFrom = (first: fc.Arbitrary<number>) =>
  fc.tuple(first, fc.integer({ min: -1, max: 5 })).map(([from, length]) => ({ from, to: from + length }));
const span = spanFrom(pick);
const endSpan = spanFrom(end);
const firmness = fc.oneof(
  fc.constant(null),
  fc.integer({ min: -5, max: 105 }).map((percent) => percent / 100),
);
const lift = fc.array(fc.integer({ min: 1, max: 9 }), { maxLength: 4 });
const leaving = fc.constantFrom<WeftPass['ends']>('selvedge', 'turn', 'interlock', 'slit', 'cut');
const side = fc.constantFrom<WeftPass['enters']>('left', 'right');
const edge = fc.option(end);
const colour = fc.constantFrom('#d7263d', '#1b998b', 'red');
const name = fc.constantFrom('', 'breakwater', 'at low tide', 'third');

const treatment = fc.constantFrom<Treatment>(
  { kind: 'overdye', dye: 'direct', colour: '#1b998b', depth: 0.5 },
  { kind: 'brush', side: 'both', strength: 'hard' },
  { kind: 'foil', side: 'back', colour: '#d9b24c', share: 2 },
  { kind: 'foil', side: 'face', colour: '#d9b24c', share: 0.2 },
  { kind: 'clip', side: 'face', threads: 'both', atLeast: 3 },
  {
    kind: 'cut',
    line: [
      { end: 1, pick: 2 },
      { end: 20, pick: 9 },
    ],
    what: 'through',
    keep: 'left',
    frayMm: 2,
  },
);
const place = fc.integer({ min: 0, max: 3 });

const command: fc.Arbitrary<Command> = fc.oneof(
  fc.record({ picks: span, strands, pass: fc.option(pass, { nil: undefined }) }).map(setPassYarn),
  fc.record({ picks: span, strands, replacing: yarn }).map(setPassYarn),
  fc.record({ picks: span, firmness }).map(setBeat),
  firmness.map((value) => setBeat({ firmness: value })),
  fc.record({ from: pick, firmness: fc.array(firmness, { maxLength: 6 }) }).map(setBeatTrace),
  fc.record({ scatterPercent: fc.integer({ min: -1, max: 30 }), seed: fc.nat(9) }).map(setBeatScatter),
  { weight: 3, arbitrary: fc.option(fc.integer({ min: 0, max: 30 }), { freq: 1 }).map(fixPicksPerCm) },
  fc
    .record({ pick, pass, shape: fc.record({ fromEnd: edge, toEnd: edge, ends: leaving, enters: side }) })
    .map(setPassShape),
  fc
    .record({ pick, strands, fromEnd: end, toEnd: end, ends: leaving, enters: side })
    .map(({ pick: at, ...shape }) => addPass({ pick: at, pass: shape })),
  fc.record({ pick, pass }).map(removePass),
  fc
    .record({ before: pick, strands, lift, count: fc.integer({ min: 0, max: 3 }) })
    .map(({ before, strands: laid, lift: up, count }) =>
      insertPicks({
        before,
        picks: Array.from({ length: count }, () => ({
          lift: up,
          passes: [{ strands: laid, enters: 'left' as const, ends: 'selvedge' as const }],
        })),
      }),
    ),
  span.map(deletePicks),
  fc.record({ picks: span, before: pick, times: fc.integer({ min: 0, max: 2 }) }).map(copyPicks),
  fc.record({ picks: span, lift }).map(setLift),
  fc.record({ ends: endSpan, strands }).map(setEndYarn),
  fc.boolean().map(setWarpFixed),
  fc.integer({ min: 0, max: 200 }).map(setWarpTension),
  fc.record({ yarn, tex: fc.integer({ min: 0, max: 900 }) }).map(setYarnCount),
  fc.record({ yarn, coneColour: colour }).map(setYarnColour),
  fc.record({ yarn, left: fc.constantFrom(null, {}, { grams: 40 }, { metres: 12.5 }, { grams: -2 }) }).map(setYarnLeft),
  fc.record({ yarn, name }).map(renameYarn),
  yarn.map((id) => addYarn(cottonCard(id, '#c9302c') as YarnCard)),
  yarn.map(removeYarn),
  name.map(renameSample),
  name.map(setNotes),
  fc.constantFrom('firstPickBelow' as const, 'firstPickLeft' as const).map(setHanging),
  fc.option(fc.record({ treatment: fc.constantFrom('steamed' as const, 'fulled' as const) })).map(setFinish),
  treatment.map(addTreatment),
  fc.record({ place, treatment }).map(changeTreatment),
  fc.record({ place, to: place }).map(moveTreatment),
  place.map(removeTreatment),
  name.map((text) => keepVersion({ name: text })),
  fc.integer({ min: 0, max: 3 }).map(restoreVersion),
  fc.integer({ min: 0, max: 3 }).map(deleteVersion),
  fc.constant(loadSample({ ...smallSample(), name: 'other quay' })),
);

type Step =
  | { readonly kind: 'do'; readonly command: Command }
  | { readonly kind: 'begin' | 'commit' | 'cancel' | 'undo' | 'redo' };

const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 12, arbitrary: command.map((made): Step => ({ kind: 'do', command: made })) },
  {
    weight: 1,
    arbitrary: fc.constantFrom('begin', 'commit', 'cancel', 'undo', 'redo').map((kind): Step => ({ kind })),
  },
);

const SEED = 8115;
const RUNS = 1000;

describe('random command sequences', () => {
  test(`${RUNS} sequences: always a valid sample, undo all = start, redo all = end, reload = same (seed ${SEED})`, () => {
    const start = smallSample();
    const taken = new Map<string, number>();
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 14 }), (steps) => {
        const store = createSampleStore(start);
        const now = () => store.state.getState();
        for (const each of steps) {
          if (each.kind === 'begin') store.begin('gesture');
          else if (each.kind !== 'do') store[each.kind]();
          else {
            const before = now().sample;
            const refusal = store.dispatch(each.command);
            if (refusal) {
              expect(now().sample).toBe(before);
              expect(refusal.remedy).not.toBe('');
            } else {
              const kind = each.command.name(before).split(' ')[0];
              taken.set(kind, (taken.get(kind) ?? 0) + 1);
            }
          }
          expect(checkSampleBody(now().sample)).toEqual([]);
        }
        store.commit();
        expect(readSampleText(writeSampleText(now().sample))).toEqual({ ok: true, value: now().sample });
        while (store.redo());
        const last = now().sample;
        const count = store.historySize().steps;
        for (let i = 0; i < count; i++) expect(store.undo()).toBe(true);
        expect(store.undo()).toBe(false);
        expect(now().sample).toEqual(start);
        while (store.redo());
        expect(now().sample).toEqual(last);
      }),
      { seed: SEED, numRuns: RUNS },
    );
    // Every kind of command must have been carried out many times, or the sequences prove nothing about it.
    expect(Math.min(...taken.values())).toBeGreaterThan(10);
    expect(taken.size).toBeGreaterThan(18);
  });
});
