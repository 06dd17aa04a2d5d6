import { type Outcome, problemAt } from '#document/problem.ts';
import { MOST_SHAFTS } from '#document/schema/fields.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { listSets } from '#engine/draft/shaftSet.ts';
import type { InterchangeDraft } from './interchangeDraft.ts';

export interface SingleThreading {
  readonly shafts: number;
  /** Shaft of each end; 0 where it is on none. */
  readonly threading: ArrayLike<number>;
  /** Undefined: lifts are shafts. */
  readonly tieUp: readonly (readonly number[])[] | undefined;
  /** Treadles pressed at each pick, or shafts raised. */
  readonly lifts: readonly (readonly number[])[];
  readonly remarks: readonly string[];
}

/** Shafts raised at each pick, whatever moves them. */
export function liftsOfDraft(draft: InterchangeDraft): readonly (readonly number[])[] {
  const { liftPlan, tieUp, treadling, shafts, risingShed } = draft;
  if (liftPlan) return liftPlan;
  return (treadling ?? []).map((pressed) => {
    const tied = new Set(pressed.flatMap((treadle) => tieUp?.[treadle - 1] ?? []));
    return Array.from({ length: shafts }, (_, i) => i + 1).filter((shaft) => tied.has(shaft) === risingShed);
  });
}

/**
 * The draft with each end on one shaft at most. The format allows an end on several (it rises with any of them), which
 * no heald does: such a draft is threaded anew from its drawdown, and lifted shaft by shaft.
 */
export function singleThreading(draft: InterchangeDraft): Outcome<SingleThreading> {
  const { threading, tieUp, treadling, liftPlan, shafts } = draft;
  const lifts = liftsOfDraft(draft);
  if (threading.every((members) => members.length <= 1)) {
    // With both, what the treadles do must be what the plan says; else the plan is what is woven.
    const agree =
      tieUp && treadling && (!liftPlan || sameLifts(liftPlan, liftsOfDraft({ ...draft, liftPlan: undefined })));
    return {
      ok: true,
      value: {
        shafts,
        threading: threading.map((members) => members[0] ?? 0),
        tieUp: agree ? tieUp : undefined,
        lifts: agree ? treadling : lifts,
        remarks: tieUp && !agree ? ['Lift plan and treadling of the file differ; the lift plan is taken.'] : [],
      },
    };
  }
  const drawdown = createDrawdown(lifts.length, threading.length);
  lifts.forEach((lift, row) => {
    const up = new Set(lift);
    threading.forEach((members, end) => {
      if (members.some((shaft) => up.has(shaft))) setWarpUp(drawdown, row, end, true);
    });
  });
  try {
    const single = draftFromDrawdown(drawdown, MOST_SHAFTS);
    return {
      ok: true,
      value: {
        shafts: single.shafts,
        threading: single.threading,
        tieUp: undefined,
        lifts: listSets(single.liftPlan),
        remarks: [
          `Some ends are drawn on several shafts at once. The same cloth is threaded here on ${single.shafts} shafts, one heald an end.`,
        ],
      },
    };
  } catch (error) {
    if (!(error instanceof DraftError)) throw error;
    return {
      ok: false,
      problems: [problemAt([], `cannot be threaded. ${error.message.replace(/\.$/u, '')}`, 'change the draft')],
    };
  }
}

function sameLifts(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): boolean {
  return a.length === b.length && a.every((lift, i) => lift.join() === b[i].join());
}
