import { liftLimit } from '#document/check/checkSample.ts';
import type { FittedDrawdown } from '#document/fitDrawdown.ts';
import { readThreading } from '#document/notation/threading.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { alternatedOrder, type LineOrder, mirroredOrder, slidOrder } from '#engine/draft/rearrange.ts';
import {
  type Command,
  changePicks,
  firstProblem,
  pickSpanProblem,
  plain,
  type Span,
  spanInWords,
  spanProblem,
} from './command.ts';
import { goWithPicks, keptPicks, type PickOrigin, treatmentsProblem } from './goWithPicks.ts';
import { type ShedPick, shedsProblem, withSheds } from './sheds.ts';
import { followShuttles } from './shuttleSides.ts';
import { fixedProblem } from './warpCommands.ts';

/** A square of the paper draft, both counted from 1: shaft or treadle `member` at pick, end or treadle `at`. */
export interface DraftMark {
  readonly at: number;
  readonly member: number;
}

function beyond(
  marks: readonly DraftMark[],
  count: number,
  most: number,
  thing: string,
  member: string,
): DocumentProblem | null {
  const wrong = marks.find(({ at, member }) => !(at >= 1 && at <= count && member >= 1 && member <= most));
  if (!wrong) return null;
  const what = `has no ${member} ${wrong.member} at ${thing} ${wrong.at}`;
  return problemAt([], what, `mark ${thing}s 1–${count} and ${member}s 1–${most}`);
}

/**
 * Marks or clears squares of the lifting plan, or of the treadling. `alone`: in place of what was lifted or pressed at those
 * picks, not beside it.
 */
export function markLifts(options: {
  readonly marks: readonly DraftMark[];
  readonly on: boolean;
  readonly alone?: boolean;
}): Command {
  const { marks, on, alone = false } = options;
  return {
    name: (sample) => `${on ? 'mark' : 'clear'} the ${liftLimit(sample).thing === 'shaft' ? 'lifts' : 'treadling'}`,
    refusal: (sample) => {
      const { most, thing } = liftLimit(sample);
      return beyond(marks, sample.picks.length, most, 'pick', thing);
    },
    apply(draft) {
      const byPick = new Map<number, Set<number>>();
      for (const { at, member } of marks) {
        const members = byPick.get(at);
        if (members) members.add(member);
        else byPick.set(at, new Set([member]));
      }
      const span = { from: Math.min(...byPick.keys()), to: Math.max(...byPick.keys()) };
      changePicks(draft, span, (pick, index) => {
        const members = byPick.get(index + 1);
        if (!members) return pick;
        const kept = on && alone ? [] : pick.lift.filter((number) => !members.has(number));
        return { ...pick, lift: on ? [...kept, ...members].sort((a, b) => a - b) : kept };
      });
    },
  };
}

/** Draws ends on shafts, or takes them off the shafts named. Refused while the warp is fixed on its loom. */
export function markThreading(options: { readonly marks: readonly DraftMark[]; readonly on: boolean }): Command {
  const { marks, on } = options;
  return {
    name: () => (on ? 'thread ends' : 'take ends off their shafts'),
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => beyond(marks, sample.warp.ends, sample.loom.shafts, 'end', 'shaft'),
      ),
    apply(draft) {
      rethread(draft, (threading) => {
        for (const { at, member } of marks) {
          if (on) threading[at - 1] = member;
          else if (threading[at - 1] === member) threading[at - 1] = 0;
        }
        return threading;
      });
    },
  };
}

/** Ties treadles to shafts, or unties them. Refused while the warp, and with it its tie-up, is fixed on its loom. */
export function markTieUp(options: { readonly marks: readonly DraftMark[]; readonly on: boolean }): Command {
  const { marks, on } = options;
  return {
    name: () => (on ? 'tie treadles' : 'untie treadles'),
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => beyond(marks, sample.warp.tieUp?.length ?? 0, sample.loom.shafts, 'treadle', 'shaft'),
      ),
    apply(draft) {
      const ties = (draft.warp.tieUp ?? []).map((shafts) => new Set(shafts));
      for (const { at, member } of marks) {
        if (on) ties[at - 1].add(member);
        else ties[at - 1].delete(member);
      }
      draft.warp.tieUp = ties.map((shafts) => [...shafts].sort((a, b) => a - b));
    },
  };
}

export type Rearrangement = 'mirror' | 'slide' | 'alternate';

const rearrangementWords: Record<Rearrangement, string> = {
  mirror: 'mirror',
  slide: 'slide round',
  alternate: 'lay the halves one and one of',
};

function orderOf(how: Rearrangement, count: number, by: number): LineOrder {
  if (how === 'mirror') return mirroredOrder(count);
  return how === 'slide' ? slidOrder(count, by) : alternatedOrder(count);
}

/** The same picks in another order, wefts and all; shuttles are followed from edge to edge. */
export function rearrangePicks(options: {
  readonly picks: Span;
  readonly how: Rearrangement;
  readonly by?: number;
}): Command {
  const { picks, how, by = 1 } = options;
  const origins = (sample: Sample): PickOrigin[] => [
    ...keptPicks(0, picks.from - 1),
    ...Array.from(orderOf(how, picks.to - picks.from + 1, by), (from) => ({
      old: picks.from - 1 + from,
      again: false,
    })),
    ...keptPicks(picks.to, sample.picks.length),
  ];
  return {
    name: () => `${rearrangementWords[how]} ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => treatmentsProblem(sample, origins(sample)),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const part = woven.slice(picks.from - 1, picks.to);
      const moved = Array.from(orderOf(how, part.length, by), (from) => part[from]);
      const after = [...woven.slice(0, picks.from - 1), ...moved, ...woven.slice(picks.to)];
      goWithPicks(draft, origins(plain(draft)));
      draft.picks = followShuttles(woven, after, picks.from - 1);
    },
  };
}

/** The threading of the same ends in another order; their yarns stay. Refused while the warp is fixed on its loom. */
export function rearrangeEnds(options: {
  readonly ends: Span;
  readonly how: Rearrangement;
  readonly by?: number;
}): Command {
  const { ends, how, by = 1 } = options;
  return {
    name: () => `${rearrangementWords[how]} the threading of ${spanInWords('end', ends)}`,
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
      ),
    apply(draft) {
      rethread(draft, (threading) => {
        const part = threading.slice(ends.from - 1, ends.to);
        orderOf(how, part.length, by).forEach((from, i) => {
          threading[ends.from - 1 + i] = part[from];
        });
        return threading;
      });
    },
  };
}

/**
 * Weaves a drawdown, as `fitDrawdown` fitted it, from a pick on. Picks woven already keep their wefts, but where `wefts`
 * (begun again and again) names others; new ones take those of the picks before them in turn. Where the warp is drawn in or
 * tied anew, what was noted of it is left behind: it tells of the draw and ties that it had.
 */
export function weaveFitted(options: {
  readonly fitted: FittedDrawdown;
  readonly fromPick: number;
  readonly what: string;
  readonly wefts?: readonly (readonly string[] | undefined)[];
}): Command {
  const { fitted, fromPick, what, wefts = [] } = options;
  const sheds = fitted.lifts.map((lift, k): ShedPick => {
    const strands = wefts[k % wefts.length];
    return strands ? { lift, strands } : { lift };
  });
  return {
    name: () => `weave ${what} from pick ${fromPick}`,
    refusal: (sample) =>
      firstProblem(
        () => (fitted.threading || fitted.tieUp ? fixedProblem(sample) : null),
        () => placeProblem(sample, fromPick, fitted.lifts.length),
        () => {
          // Lifts and treadles are those of the tie-up that comes with them.
          const { warp } = sample;
          const tieUp = fitted.tieUp?.map((shafts) => [...shafts]);
          return shedsProblem(tieUp ? { ...sample, warp: { ...warp, tieUp } } : sample, sheds);
        },
      ),
    apply(draft) {
      if (fitted.threading) draft.warp.threading = inNotation(fitted.threading);
      if (fitted.threading || fitted.tieUp) delete draft.warp.notes;
      if (fitted.tieUp) draft.warp.tieUp = fitted.tieUp.map((shafts) => [...shafts]);
      draft.picks = withSheds({ picks: plain(draft.picks), yarns: plain(draft.yarns) }, sheds, fromPick);
    },
  };
}

function placeProblem(sample: SampleBody, fromPick: number, count: number): DocumentProblem | null {
  const most = sample.picks.length + 1;
  if (!(fromPick >= 1 && fromPick <= most))
    return problemAt(['picks'], `has no pick ${fromPick}`, `choose 1 to ${most}`);
  if (fromPick - 1 + count <= MOST_PICKS) return null;
  return problemAt(['picks'], `would hold ${fromPick - 1 + count} picks`, `keep to ${MOST_PICKS} a sample`);
}

function rethread(draft: Sample, change: (threading: number[]) => number[]): void {
  const threading = readThreading(draft.warp.threading);
  if (threading.ok) draft.warp.threading = inNotation(change(Array.from(threading.value)));
}

/** As short as notation has it, where it can be written so. */
export function inNotation(threading: readonly number[]): string | number[] {
  try {
    return formatThreading(Uint8Array.from(threading));
  } catch (error) {
    if (error instanceof DraftError) return [...threading];
    throw error;
  }
}
