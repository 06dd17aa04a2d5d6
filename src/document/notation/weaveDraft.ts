import { type Outcome, problemAt, problemsUnder } from '#document/problem.ts';
import type { WeaveCard } from '#document/schema/weaveSchema.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Draft } from '#engine/draft/draftTypes.ts';
import { parseLifts } from '#engine/draft/orders.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { draftOfStructure, structureOf } from '#engine/weave/structures/families.ts';
import { type Structure, simple } from '#engine/weave/structures/structureTypes.ts';
import { notationProblem } from './endOrder.ts';
import { readThreading } from './threading.ts';

type WrittenOut = Extract<WeaveCard, { threading: unknown }>;

/** One repeat of a weave card as the draft engine takes it; by rule: on the fewest shafts. */
export function weaveDraft(card: WeaveCard): Outcome<Draft> {
  if ('threading' in card) return writtenDraft(card);
  const structure = weaveStructure(card);
  if (!structure.ok) return structure;
  try {
    return { ok: true, value: draftOfStructure(structure.value) };
  } catch (error) {
    return madeProblem(error);
  }
}

/** One repeat of a weave card with what its threads are for. */
export function weaveStructure(card: WeaveCard): Outcome<Structure> {
  if ('threading' in card) {
    const draft = writtenDraft(card);
    if (!draft.ok) return draft;
    const drawdown = computeDrawdown(draft.value.threading, draft.value.liftPlan);
    return { ok: true, value: simple(drawdown, layersOf(drawdown).count) };
  }
  try {
    return { ok: true, value: structureOf(card.made) };
  } catch (error) {
    return madeProblem(error);
  }
}

function madeProblem(error: unknown): { ok: false; problems: ReturnType<typeof problemAt>[] } {
  if (!(error instanceof DraftError)) throw error;
  const [what, ...advice] = error.message.replace(/\.$/u, '').split(/[;.] (?=[A-Za-z])/u);
  return { ok: false, problems: [problemAt(['made'], `cannot be made: ${what}`, advice.join('; ') || 'change it')] };
}

function writtenDraft(card: WrittenOut): Outcome<Draft> {
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
