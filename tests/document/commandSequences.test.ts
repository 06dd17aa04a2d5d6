import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkSampleBody } from '#document/check/checkSample.ts';
import { addTreatment, changeTreatment, moveTreatment, removeTreatment } from '#document/commands/afterLoomCommands.ts';
import { fixPicksPerCm, setBeat, setBeatScatter, setBeatTrace, setWeftArc } from '#document/commands/beatCommands.ts';
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
import type { Sample } from '#document/schema/sampleSchema.ts';
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

/** By name: which one a step takes hangs on its name alone, so that one more leaves the others' steps as they were. */
const commands: Readonly<Record<string, fc.Arbitrary<Command>>> = {
  setPassYarn: fc.record({ picks: span, strands, pass: fc.option(pass, { nil: undefined }) }).map(setPassYarn),
  replaceYarn: fc.record({ picks: span, strands, replacing: yarn }).map(setPassYarn),
  setBeat: fc.record({ picks: span, firmness }).map(setBeat),
  beatAll: firmness.map((value) => setBeat({ firmness: value })),
  setBeatTrace: fc.record({ from: pick, firmness: fc.array(firmness, { maxLength: 6 }) }).map(setBeatTrace),
  setWeftArc: fc.option(fc.integer({ min: -1, max: 90 })).map(setWeftArc),
  setBeatScatter: fc.record({ scatterPercent: fc.integer({ min: -1, max: 30 }), seed: fc.nat(9) }).map(setBeatScatter),
  fixPicksPerCm: fc.option(fc.integer({ min: 0, max: 30 }), { freq: 1 }).map(fixPicksPerCm),
  setPassShape: fc
    .record({ pick, pass, shape: fc.record({ fromEnd: edge, toEnd: edge, ends: leaving, enters: side }) })
    .map(setPassShape),
  addPass: fc
    .record({ pick, strands, fromEnd: end, toEnd: end, ends: leaving, enters: side })
    .map(({ pick: at, ...shape }) => addPass({ pick: at, pass: shape })),
  removePass: fc.record({ pick, pass }).map(removePass),
  insertPicks: fc
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
  deletePicks: span.map(deletePicks),
  copyPicks: fc.record({ picks: span, before: pick, times: fc.integer({ min: 0, max: 2 }) }).map(copyPicks),
  setLift: fc.record({ picks: span, lift }).map(setLift),
  setEndYarn: fc.record({ ends: endSpan, strands }).map(setEndYarn),
  setWarpFixed: fc.boolean().map(setWarpFixed),
  setWarpTension: fc.integer({ min: 0, max: 200 }).map(setWarpTension),
  setYarnCount: fc.record({ yarn, tex: fc.integer({ min: 0, max: 900 }) }).map(setYarnCount),
  setYarnColour: fc.record({ yarn, coneColour: colour }).map(setYarnColour),
  setYarnLeft: fc
    .record({ yarn, left: fc.constantFrom(null, {}, { grams: 40 }, { metres: 12.5 }, { grams: -2 }) })
    .map(setYarnLeft),
  renameYarn: fc.record({ yarn, name }).map(renameYarn),
  addYarn: yarn.map((id) => addYarn(cottonCard(id, '#c9302c') as YarnCard)),
  removeYarn: yarn.map(removeYarn),
  renameSample: name.map(renameSample),
  setNotes: name.map(setNotes),
  setHanging: fc.constantFrom('firstPickBelow' as const, 'firstPickLeft' as const).map(setHanging),
  setFinish: fc.option(fc.record({ treatment: fc.constantFrom('steamed' as const, 'fulled' as const) })).map(setFinish),
  addTreatment: treatment.map(addTreatment),
  changeTreatment: fc.record({ place, treatment }).map(changeTreatment),
  moveTreatment: fc.record({ place, to: place }).map(moveTreatment),
  removeTreatment: place.map(removeTreatment),
  keepVersion: name.map((text) => keepVersion({ name: text })),
  restoreVersion: fc.integer({ min: 0, max: 3 }).map(restoreVersion),
  deleteVersion: fc.integer({ min: 0, max: 3 }).map(deleteVersion),
  loadSample: fc.constant(loadSample({ ...smallSample(), name: 'other quay' })),
};

/** FNV-1a over the name, then mixed with the number (finisher of MurmurHash3): 32 bits. */
function hashOf(text: string, number: number): number {
  let hash = 0x811c9dc5;
  for (let k = 0; k < text.length; k++) hash = Math.imul(hash ^ text.charCodeAt(k), 0x01000193);
  hash ^= number;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/** The name whose hash with the number is the highest: each as often, and one more name takes its own share from all. */
function nameFor(number: number): string {
  return Object.keys(commands).reduce((best, each) => (hashOf(each, number) > hashOf(best, number) ? each : best));
}

/** Arguments are drawn from the number, not from the sequence's stream: how many a command takes moves no other. */
const command: fc.Arbitrary<Command> = fc
  .noShrink(fc.noBias(fc.integer({ min: 0, max: 0x7fffffff })))
  .map((number) => fc.sample(commands[nameFor(number)], { seed: number, numRuns: 1 })[0]);

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
    // Two treatments from the first: orders of them are moved in short sequences too.
    const start: Sample = {
      ...smallSample(),
      afterLoom: [
        { kind: 'brush', side: 'both', strength: 'hard' },
        { kind: 'overdye', dye: 'direct', colour: '#1b998b', depth: 0.5 },
      ],
    };
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
