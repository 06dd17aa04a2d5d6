import { current, type Draft, isDraft } from 'immer';
import { type DocumentProblem, type PlacePath, problemAt } from '#document/problem.ts';
import type { WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

/**
 * One thing that a person does to the sample. Made by the functions in this folder and given to `SampleStore.dispatch`.
 * Places in arguments are counted as the weaver counts them: picks, passes, ends, shafts and treadles from 1.
 */
export interface Command {
  /** As shown beside undo: "beat firmer on picks 4–12". */
  name(sample: Sample): string;
  /** Why it cannot be done to this sample, or null. */
  refusal(sample: Sample): DocumentProblem | null;
  /** Changes the draft (an immer draft: assign and splice freely). Called only when there is no refusal. */
  apply(draft: Sample): void;
}

/** First and last pick or end, 1-based, both included. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** "pick 4", "picks 4–12". */
export function spanInWords(thing: string, span: Span): string {
  return span.from === span.to ? `${thing} ${span.from}` : `${thing}s ${span.from}–${span.to}`;
}

export function spanProblem(span: Span, count: number, path: PlacePath, thing: string): DocumentProblem | null {
  const { from, to } = span;
  if (Number.isInteger(from) && Number.isInteger(to) && from >= 1 && from <= to && to <= count) return null;
  return problemAt(path, `${spanInWords(thing, span)} cannot be chosen`, `choose within ${thing}s 1–${count}`);
}

export function pickSpanProblem(sample: Sample, span: Span): DocumentProblem | null {
  return spanProblem(span, sample.picks.length, ['picks'], 'pick');
}

/** Yarns by name for command names: "kelp and gull". */
export function strandsInWords(sample: Sample, strands: readonly string[]): string {
  const names = strands.map((id) => sample.yarns[id]?.name ?? id);
  return names.length < 2 ? (names[0] ?? 'nothing') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

/** The first that is a problem. Later ones are not looked at, so they may rely on the earlier. */
export function firstProblem(...checks: readonly (() => DocumentProblem | null)[]): DocumentProblem | null {
  for (const check of checks) {
    const problem = check();
    if (problem) return problem;
  }
  return null;
}

/** The frozen value behind a draft. Parts that the command has not touched are the very ones of the sample. */
export function plain<Value extends object>(value: Value): Value {
  return isDraft(value) ? (current(value as Draft<Value>) as Value) : value;
}

/**
 * Replaces each pick of the span by what `change` makes of it, which must not alter the pick it is given; the same pick
 * back means no change. Drafting every pick instead takes half a second at 10 000 picks, a beat drag's every move.
 */
export function changePicks(draft: Sample, span: Span, change: (pick: WeftPick, index: number) => WeftPick): void {
  const picks = plain(draft.picks).slice();
  for (let i = span.from - 1; i < span.to; i++) picks[i] = change(picks[i], i);
  draft.picks = picks;
}
