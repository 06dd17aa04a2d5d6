import { firmnessAt, setBeat, setBeatTrace } from '#document/commands/beatCommands.ts';
import { spanInWords } from '#document/commands/command.ts';
import type { DocumentProblem } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { TableModel } from './tableModel.ts';
import type { Selection, ThreadRange } from './tableState.ts';

/** How much firmer or looser a press beats the whole cloth, as a share of the firmest. */
export const BEAT_STEP = 0.05;

/** The loosest and the firmest beat of a sample's picks, 0..1. */
export function beatRange(sample: Sample): { readonly least: number; readonly most: number } {
  let least = 1;
  let most = 0;
  for (let pick = 0; pick < sample.picks.length; pick++) {
    const firmness = firmnessAt(sample, pick);
    least = Math.min(least, firmness);
    most = Math.max(most, firmness);
  }
  return { least, most };
}

/**
 * Beats every pick firmer or looser by one step, as one undo step, and says so. What was drawn into the beat keeps its
 * shape: where a pick would go past the firmest or the loosest, all go only as far as it can.
 */
export function beatWholeCloth({ samples, ui }: Pick<TableModel, 'samples' | 'ui'>, by: 1 | -1): void {
  const { sample } = samples.state.getState();
  if (sample.picks.length === 0) return;
  const { least, most } = beatRange(sample);
  const room = by > 0 ? 1 - most : least;
  const change = by * Math.min(BEAT_STEP, room);
  if (Math.abs(change) < 1e-6) {
    ui.getState().say(`Some picks are beaten as ${by > 0 ? 'firmly' : 'loosely'} as can be already.`);
    return;
  }
  const round = (firmness: number) => Math.round((firmness + change) * 1000) / 1000;
  const own = sample.picks.map(({ beat }) => (beat === undefined ? null : round(beat)));
  // Where every pick has a beat of its own, the sample's own may stand anywhere.
  const general = Math.min(Math.max(round(sample.beat.firmness), 0), 1);
  const refusal = beatAll({ samples }, `beat the whole cloth ${by > 0 ? 'firmer' : 'looser'}`, general, own);
  const beaten = `The whole cloth is beaten ${wholeWords(samples.state.getState().sample)}`;
  ui.getState().say(refusal?.message ?? `${beaten}${notAloneWords(ui.getState().selection, sample.picks.length)}.`);
}

/** With picks selected one might take them to be what is beaten: says that they are not, and how they are. */
function notAloneWords(selection: Selection, picks: number): string {
  if (selection?.kind !== 'picks' || selection.range.from >= picks) return '';
  const { from, to } = selection.range;
  if (to - from + 1 >= picks) return '';
  const span = spanInWords('pick', { from: from + 1, to: Math.min(to + 1, picks) });
  return `, not ${span} alone: those are beaten by their line beside the picks, or by their number under Readings`;
}

/** Beats every pick alike, 0..1, as one undo step. */
export function beatEvenly(table: Pick<TableModel, 'samples'>, firmness: number): DocumentProblem | null {
  const { sample } = table.samples.state.getState();
  return beatAll(
    table,
    'beat the whole cloth evenly',
    firmness,
    sample.picks.map(() => null),
  );
}

function beatAll(
  { samples }: Pick<TableModel, 'samples'>,
  name: string,
  general: number,
  own: readonly (number | null)[],
): DocumentProblem | null {
  samples.begin(name);
  const refusal =
    samples.dispatch(setBeat({ firmness: general })) ?? samples.dispatch(setBeatTrace({ from: 1, firmness: own }));
  if (refusal) samples.cancel();
  else samples.commit();
  return refusal;
}

function wholeWords(sample: Sample): string {
  const { least, most } = beatRange(sample);
  const [from, to] = [Math.round(100 * least), Math.round(100 * most)];
  return from === to ? `at ${from} % of the firmest` : `at ${from} to ${to} % of the firmest`;
}

/** How many picks and which, counted from 1: "3 picks, 12–14". */
export function howManyPicks({ from, to }: ThreadRange): string {
  const count = to - from + 1;
  return count === 1 ? `1 pick, ${from + 1}` : `${count} picks, ${from + 1}–${to + 1}`;
}

/** Said when the beat was drawn with nothing selected: what it was drawn on, and how to beat more at once. */
export function drawnBeatWords(picks: ThreadRange): string {
  const span = spanInWords('pick', { from: picks.from + 1, to: picks.to + 1 });
  return `The beat was drawn on ${span} alone, under the pointer. Select picks to beat them together; F beats the whole cloth firmer, Shift F looser.`;
}
