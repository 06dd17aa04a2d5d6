import { capital } from '#app/words/words.ts';
import { type Command, type Span, spanInWords } from '#document/commands/command.ts';
import { nextInOrder, sameLift } from '#document/commands/nextPick.ts';
import { copyPicks, deletePicks, insertPicks } from '#document/commands/pickCommands.ts';
import type { TableModel } from './tableModel.ts';

/** The picks that an action is for: those selected, else the one under the cursor; counted from 1. */
export function pickTarget({ samples, ui }: Pick<TableModel, 'samples' | 'ui'>): Span {
  const { picks } = samples.state.getState().sample;
  const { selection, cursorPick } = ui.getState();
  const range = selection?.kind === 'picks' ? selection.range : { from: cursorPick, to: cursorPick };
  const last = picks.length - 1;
  return { from: Math.min(range.from, last) + 1, to: Math.min(range.to, last) + 1 };
}

/** Does it, selects what came of it (nothing where that is null) and says so; or says why not. */
function act(table: TableModel, command: Command, done: string, then: Span | null, cursorPick: number): void {
  const { samples, ui } = table;
  const refusal = samples.dispatch(command);
  if (refusal) {
    ui.getState().say(refusal.message);
    return;
  }
  ui.getState().select(then ? { kind: 'picks', range: { from: then.from - 1, to: then.to - 1 } } : undefined);
  ui.getState().setCursor('picks', cursorPick - 1);
  const { length } = samples.state.getState().sample.picks;
  ui.getState().say(`${done} ${length === 1 ? 'There is 1 pick' : `There are ${length} picks`} now.`);
}

/** Puts in the pick that comes next as the order has gone up to the last of the picks chosen. */
export function insertNext(table: TableModel): void {
  const at = pickTarget(table).to + 1;
  const pick = nextInOrder(table.samples.state.getState().sample.picks, at - 1);
  const command = insertPicks({ before: at, picks: [pick], how: 'as the order goes on' });
  act(table, command, `Pick ${at} goes on with the order.`, { from: at, to: at }, at);
}

/** Puts in one more throw through the shed of the last of the picks chosen. */
export function insertSameLift(table: TableModel): void {
  const at = pickTarget(table).to + 1;
  const pick = sameLift(table.samples.state.getState().sample.picks[at - 2]);
  const command = insertPicks({ before: at, picks: [pick], how: 'with the same lift' });
  act(table, command, `Pick ${at} has the lift of pick ${at - 1}.`, { from: at, to: at }, at);
}

/** Weaves the picks chosen once more after themselves, inlay and beat included. */
export function repeatPicks(table: TableModel): void {
  const picks = pickTarget(table);
  const copies = { from: picks.to + 1, to: 2 * picks.to - picks.from + 1 };
  const done = `${capital(spanInWords('pick', picks))} woven again as ${spanInWords('pick', copies)}.`;
  act(table, copyPicks({ picks, before: copies.from }), done, copies, copies.from);
}

export function unweavePicks(table: TableModel): void {
  const picks = pickTarget(table);
  const left = table.samples.state.getState().sample.picks.length - (picks.to - picks.from + 1);
  const done = `${capital(spanInWords('pick', picks))} unwoven; undo brings ${picks.from === picks.to ? 'it' : 'them'} back.`;
  act(table, deletePicks(picks), done, null, Math.max(Math.min(picks.from, left), 1));
}
