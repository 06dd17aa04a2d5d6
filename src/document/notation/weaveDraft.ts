import { type Outcome, problemAt, problemsUnder } from '#document/problem.ts';
import type { WeaveCard } from '#document/schema/weaveSchema.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Draft } from '#engine/draft/draftTypes.ts';
import { parseLifts } from '#engine/draft/orders.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { notationProblem } from './endOrder.ts';
import { readThreading } from './threading.ts';

/** One repeat of a weave card as the draft engine takes it. */
export function weaveDraft(card: WeaveCard): Outcome<Draft> {
  const { shafts } = card;
  const threading = readThreading(card.threading);
  if (!threading.ok) return { ok: false, problems: problemsUnder(['threading'], threading.problems) };
  const beyond = threading.value.findIndex((shaft) => shaft > shafts);
  if (beyond >= 0 || threading.value.length === 0) {
    const what = beyond < 0 ? 'is empty' : `draws end ${beyond + 1} on shaft ${threading.value[beyond]} of ${shafts}`;
    return { ok: false, problems: [problemAt(['threading'], what, `thread shafts 1 to ${shafts}`)] };
  }
  try {
    const liftPlan =
      typeof card.lifts === 'string' ? parseLifts(card.lifts, shafts) : setsFromLists(card.lifts, shafts);
    if (liftPlan.length > 0) return { ok: true, value: { shafts, threading: threading.value, liftPlan } };
    return { ok: false, problems: [problemAt(['lifts'], 'is empty', 'give at least one pick')] };
  } catch (error) {
    if (!(error instanceof DraftError)) throw error;
    return { ok: false, problems: [notationProblem(['lifts'], error)] };
  }
}
