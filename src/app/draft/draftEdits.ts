import type { TableModel } from '#app/model/tableModel.ts';
import { notesLeftWords } from '#app/structures/threadForIt.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';
import type { Command } from '#document/commands/command.ts';
import { type DraftMark, markLifts, markThreading, markTieUp, weaveFitted } from '#document/commands/draftCommands.ts';
import { fitDrawdown } from '#document/fitDrawdown.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { DraftArea } from '#engine/draft/area.ts';
import { cutArea } from '#engine/draft/area.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import type { DrawdownRead } from '#io/drawdownPng.ts';
import type { DraftConventions, SheetPlaces } from './conventions.ts';
import type { DraftCell, DraftTool } from './draftCells.ts';
import type { DraftSheet } from './paintDraft.ts';

/** Does it and says why not where it cannot be done. */
export function carryOut(table: TableModel, command: Command): boolean {
  const refusal = table.samples.dispatch(command);
  if (refusal) table.ui.getState().say(refusal.message);
  return refusal === null;
}

/**
 * Marks of the drawn sheet as marks of the sample. In the drawdown a square is the shaft of its end, lifted at its pick;
 * other ends on that shaft come with it, as on the loom. Returns why that cannot be, or does it.
 */
export function markCells(
  table: TableModel,
  sheet: DraftSheet,
  places: SheetPlaces,
  conventions: DraftConventions,
  cells: readonly DraftCell[],
  on: boolean,
  tool: DraftTool,
): void {
  const { samples, ui } = table;
  const { sample } = samples.state.getState();
  const treadled = sample.loom.control.kind === 'treadles';
  const sinks = conventions.filled === 'sinks';
  const pickOf = (cell: DraftCell) => sheet.rowPick[places.row(cell.y)] + 1;
  const marksOf = (mark: (cell: DraftCell) => DraftMark): DraftMark[] => {
    const marks = new Map<string, DraftMark>();
    for (const cell of cells) {
      const each = mark(cell);
      if (each.member > 0) marks.set(`${each.at} ${each.member}`, each);
    }
    return [...marks.values()];
  };
  const [{ part }] = cells;
  if (part === 'threading') {
    const marks = marksOf((cell) => ({ at: places.end(cell.x) + 1, member: places.shaft(cell.y + 1) }));
    carryOut(table, markThreading({ marks, on }));
  } else if (part === 'tieUp') {
    const marks = marksOf((cell) => ({ at: cell.x + 1, member: places.shaft(cell.y + 1) }));
    carryOut(table, markTieUp({ marks, on: on !== sinks }));
  } else if (part === 'lifts') {
    const marks = marksOf((cell) => ({ at: pickOf(cell), member: cell.x + 1 }));
    // A line through a treadling is one foot after the other: what was pressed before is not pressed with it.
    carryOut(table, markLifts({ marks, on: treadled ? on : on !== sinks, alone: treadled && tool === 'line' }));
  } else if (treadled) {
    ui.getState().say('Treadles lift here, several shafts each: mark the treadling, or choose an area and fill it.');
  } else {
    const up = on !== (conventions.side === 'back');
    const marks = marksOf((cell) => ({ at: pickOf(cell), member: sheet.threading[places.end(cell.x)] }));
    if (marks.length > 0) carryOut(table, markLifts({ marks, on: up }));
    else ui.getState().say('These ends are on no shaft, so nothing lifts them.');
  }
}

/**
 * Weaves part of a drawdown otherwise: the rows of the area, over the whole width as the sheet has them changed. What the
 * warp as it is threaded cannot do comes out as near as it can, and is told.
 */
export function weaveRows(
  table: TableModel,
  sheet: DraftSheet,
  changed: Drawdown,
  rows: { from: number; to: number },
  what: string,
): void {
  const { sample } = table.samples.state.getState();
  // One row of each pick: passes of one pick share its shed.
  const picked: number[] = [];
  for (let row = rows.from; row <= rows.to; row++) {
    if (picked.length === 0 || sheet.rowPick[row] !== sheet.rowPick[picked[picked.length - 1]]) picked.push(row);
  }
  const whole: DraftArea = { fromEnd: 0, toEnd: changed.ends - 1, fromRow: 0, toRow: 0 };
  const parts = picked.map((row) => cutArea(changed, { ...whole, fromRow: row, toRow: row }));
  const wanted = stack(parts, changed.ends);
  // Threaded anew, all other picks would weave otherwise: only the lifts may change here.
  const onLoom: Sample = { ...sample, warp: { ...sample.warp, fixed: true } };
  const fitted = fitDrawdown(onLoom, wanted);
  const fromPick = sheet.rowPick[picked[0]] + 1;
  if (carryOut(table, weaveFitted({ fitted, fromPick, what }))) tellChanged(table, fitted.changed);
}

function tellChanged(table: TableModel, changed: number): void {
  if (changed === 0) return;
  const words = counted(changed, 'crossing comes', 'crossings come', formatNumber);
  table.ui.getState().say(`${words} out otherwise than asked: their ends share shafts with ends that go another way.`);
}

function stack(parts: readonly Drawdown[], ends: number): Drawdown {
  const all = tile(parts[0], parts.length, ends);
  parts.forEach((part, row) => {
    all.bits.set(part.bits, row * all.wordsPerRow);
  });
  return all;
}

/** A drawdown from elsewhere, repeated across the warp, woven from the first pick on as near as the loom can. */
export function weavePicture(table: TableModel, { drawdown, tones }: DrawdownRead, what: string): void {
  const { sample } = table.samples.state.getState();
  if (drawdown.ends > sample.warp.ends) {
    const wide = `${what} is ${formatNumber(drawdown.ends)} crossings wide, but the warp has ${formatNumber(sample.warp.ends)} ends`;
    table.ui.getState().say(`${wide}. Nothing was woven: cut it to the warp's width, or begin on a wider warp.`, {
      stays: true,
    });
    return;
  }
  const across = tile(drawdown, drawdown.rows, sample.warp.ends);
  const fitted = fitDrawdown(sample, across);
  if (!carryOut(table, weaveFitted({ fitted, fromPick: 1, what }))) return;
  const repeats = sample.warp.ends / drawdown.ends;
  const size = `${what} is woven: ${formatNumber(drawdown.rows)} picks, ${
    repeats === 1 ? 'its width the warp’s' : `repeated ${formatNumber(Number(repeats.toFixed(1)))} times across`
  }`;
  const anew = fitted.threading ? ', the warp threaded anew for it' : '';
  const notes = fitted.threading ? notesLeftWords(sample) : '';
  const near =
    fitted.changed > 0
      ? `, ${counted(fitted.changed, 'crossing', 'crossings', formatNumber)} otherwise than in it`
      : '';
  const mixed =
    tones > 2 ? `. The picture has ${formatNumber(tones)} tones, of which the darker half are taken for warp` : '';
  table.ui.getState().say(`${size}${anew}${near}${mixed}.${notes} Undo brings the last picks back.`);
}
