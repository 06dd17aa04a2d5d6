import { produce } from 'immer';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { wrongLayerRow } from '#engine/weave/faults/threadFaults.ts';
import { checkSampleBody, liftLimit } from './check/checkSample.ts';
import { type Command, plain } from './commands/command.ts';
import { copyPicks, deletePicks } from './commands/pickCommands.ts';
import { bodyOf, MOST_VERSIONS } from './commands/versionCommands.ts';
import { dentsOfWarp } from './notation/denting.ts';
import { readThreading } from './notation/threading.ts';
import { type DocumentProblem, problemAt } from './problem.ts';
import type { Sample, SampleBody } from './schema/sampleSchema.ts';
import { toClothProblem } from './toClothProblem.ts';

/** Something that goes wrong at the loom. Ends, picks and shafts count from 1. */
export type WhatIf =
  | { readonly kind: 'skippedEnd'; readonly pick: number; readonly end: number }
  /** One shaft does the opposite; on a treadle loom, one treadle more or less is pressed. */
  | { readonly kind: 'wrongLift'; readonly pick: number; readonly number: number }
  | { readonly kind: 'pickLeftOut' | 'pickDoubled' | 'wrongLayer'; readonly pick: number }
  /** This end and the next change places in the healds. */
  | { readonly kind: 'crossedEnds'; readonly end: number }
  | { readonly kind: 'brokenEnd'; readonly end: number; readonly fromPick: number; readonly toPick?: number }
  /** The end is drawn into the dent of the one before it. */
  | { readonly kind: 'sharedDent'; readonly end: number };

/** The sample with that fault woven in, or why there is no such cloth. */
export function sampleWithFault(sample: Sample, fault: WhatIf): SampleBody | DocumentProblem {
  const refusal = placeProblem(sample, fault);
  if (refusal) return refusal;
  const body = faulty(sample, fault);
  if ('message' in body) return body;
  return checkSampleBody(body)[0] ?? body;
}

function placeProblem({ picks, warp }: Sample, fault: WhatIf): DocumentProblem | null {
  const pick = 'pick' in fault ? fault.pick : 'fromPick' in fault ? fault.fromPick : 1;
  const end = 'end' in fault ? fault.end : 1;
  if (!(Number.isInteger(pick) && pick >= 1 && pick <= picks.length)) {
    return problemAt(['picks'], `has no pick ${pick}`, `choose 1 to ${picks.length}`);
  }
  if (Number.isInteger(end) && end >= 1 && end <= warp.ends) return null;
  return problemAt(['warp'], `has no end ${end}`, `choose 1 to ${warp.ends}`);
}

function faulty(sample: Sample, fault: WhatIf): SampleBody | DocumentProblem {
  const body = bodyOf(sample);
  switch (fault.kind) {
    case 'skippedEnd':
    case 'brokenEnd':
      return { ...body, faults: [...(body.faults ?? []), fault] };
    case 'wrongLift': {
      const { most, thing } = liftLimit(body);
      if (!(fault.number >= 1 && fault.number <= most)) {
        return problemAt(['picks', fault.pick - 1, 'lift'], `has no ${thing} ${fault.number}`, `choose 1 to ${most}`);
      }
      const was = body.picks[fault.pick - 1].lift;
      const lift = was.includes(fault.number)
        ? was.filter((each) => each !== fault.number)
        : [...was, fault.number].sort((a, b) => a - b);
      return withLift(body, fault.pick, lift);
    }
    case 'wrongLayer':
      return inWrongLayer(body, fault.pick);
    case 'pickLeftOut':
    case 'pickDoubled': {
      const span = { from: fault.pick, to: fault.pick };
      const command =
        fault.kind === 'pickLeftOut' ? deletePicks(span) : copyPicks({ picks: span, before: fault.pick + 1 });
      return command.refusal(sample) ?? bodyOf(produce(sample, (draft) => command.apply(draft as Sample)));
    }
    case 'crossedEnds':
      return withCrossedEnds(body, fault.end);
    case 'sharedDent':
      return withSharedDent(body, fault.end);
  }
}

function withLift(body: SampleBody, pick: number, lift: number[]): SampleBody {
  return { ...body, picks: body.picks.map((each, k) => (k === pick - 1 ? { ...each, lift } : each)) };
}

/** A row for each pick: what is laid by hand in the same shed changes nothing about the layers. */
function inWrongLayer(body: SampleBody, pick: number): SampleBody | DocumentProblem {
  const { drawdown, rowPick } = toClothProblem(body).problem;
  const sheds = createDrawdown(body.picks.length, drawdown.ends);
  for (let row = 0; row < drawdown.rows; row++) {
    for (let end = 0; end < drawdown.ends; end++) {
      const up = (drawdown.bits[row * drawdown.wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1;
      if (up) setWarpUp(sheds, rowPick[row], end, true);
    }
  }
  const other = wrongLayerRow(sheds, pick - 1);
  if (other < 0) {
    return problemAt(['picks', pick - 1], 'has no other shed to be thrown into', 'weave more than one shed');
  }
  return withLift(body, pick, [...body.picks[other].lift]);
}

function withCrossedEnds(body: SampleBody, end: number): SampleBody | DocumentProblem {
  const threading = readThreading(body.warp.threading);
  if (!threading.ok) return threading.problems[0];
  const shafts = [...threading.value];
  if (end >= shafts.length) {
    return problemAt(
      ['warp', 'threading'],
      `has no end after ${end} to cross it with`,
      'choose an end before the last',
    );
  }
  if (shafts[end - 1] === shafts[end]) {
    const what = `ends ${end} and ${end + 1} are on one shaft, so that crossing them changes nothing`;
    return problemAt(['warp', 'threading'], what, 'choose ends on different shafts');
  }
  [shafts[end - 1], shafts[end]] = [shafts[end], shafts[end - 1]];
  return { ...body, warp: { ...body.warp, threading: shafts } };
}

function withSharedDent(body: SampleBody, end: number): SampleBody | DocumentProblem {
  const { dentOf, endsPerDent } = dentsOfWarp(body.warp);
  const counts = [...endsPerDent];
  // An order of dents begins again until the ends run out: the last dent is given only the ends that there are.
  counts[counts.length - 1] = dentOf.length - dentOf.indexOf(counts.length - 1);
  // The first end of a dent is the one that can go astray.
  let at = end - 1;
  while (at < dentOf.length && (at === 0 || dentOf[at] === dentOf[at - 1])) at++;
  if (at >= dentOf.length) {
    return problemAt(['warp', 'reed'], `has no dent after end ${end}`, 'choose an end further left');
  }
  counts[dentOf[at - 1]]++;
  counts[dentOf[at]]--;
  const { reed } = body.warp;
  return { ...body, warp: { ...body.warp, reed: { ...reed, endsPerDent: counts.join(' ') } } };
}

/** In a few words, for a version's name: "What if: end 12 skipped at pick 40". */
export function whatIfName(fault: WhatIf, thing: 'shaft' | 'treadle'): string {
  switch (fault.kind) {
    case 'skippedEnd':
      return `What if: end ${fault.end} skipped at pick ${fault.pick}`;
    case 'wrongLift':
      return `What if: ${thing} ${fault.number} wrong at pick ${fault.pick}`;
    case 'pickLeftOut':
      return `What if: pick ${fault.pick} left out`;
    case 'pickDoubled':
      return `What if: pick ${fault.pick} woven twice`;
    case 'wrongLayer':
      return `What if: pick ${fault.pick} in the wrong layer`;
    case 'crossedEnds':
      return `What if: ends ${fault.end} and ${fault.end + 1} crossed`;
    case 'brokenEnd':
      return `What if: end ${fault.end} broken from pick ${fault.fromPick}`;
    case 'sharedDent':
      return `What if: end ${fault.end} in its neighbour’s dent`;
  }
}

/** How many picks are taken back to mend it, of those woven by the time it is seen. */
export function picksBack(fault: WhatIf, wovenPicks: number): number {
  // Threading and reed are wrong from the first pick on.
  const from = 'pick' in fault ? fault.pick : 'fromPick' in fault ? fault.fromPick : 1;
  return Math.max(0, wovenPicks - from + (fault.kind === 'pickLeftOut' ? 0 : 1));
}

/** Keeps the sample with that fault beside itself, in place of what was kept under the same name. */
export function keepWhatIf(fault: WhatIf): Command {
  const nameOf = (sample: Sample) => whatIfName(fault, liftLimit(sample).thing);
  return {
    name: (sample) => `keep "${nameOf(sample)}"`,
    refusal(sample) {
      const body = sampleWithFault(sample, fault);
      if ('message' in body) return body;
      if (sample.versions.length < MOST_VERSIONS || sample.versions.some(({ name }) => name === nameOf(sample)))
        return null;
      return problemAt(['versions'], `has ${MOST_VERSIONS} versions already`, 'discard one first');
    },
    apply(draft) {
      const sample = plain(draft);
      const body = sampleWithFault(sample, fault);
      if ('message' in body) return;
      const name = nameOf(sample);
      const at = sample.versions.findIndex((version) => version.name === name);
      draft.versions.splice(at < 0 ? sample.versions.length : at, at < 0 ? 0 : 1, { name, body });
    },
  };
}
