import type { TableModel } from '#app/model/tableModel.ts';
import { changeTreatment } from '#document/commands/afterLoomCommands.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import type { ClothPlace } from '#engine/cloth/after/afterTypes.ts';
import { cutOfKind } from './cutOfKind.ts';

type Parts = Pick<TableModel, 'samples' | 'ui'>;

/** Gives the cut at `place` (from 1) another line; says why not where it cannot be. */
export function putLine({ samples, ui }: Parts, place: number, line: readonly ClothPlace[], closed: boolean): void {
  const treatment = samples.state.getState().sample.afterLoom?.[place - 1];
  if (treatment?.kind !== 'cut') return;
  const { closed: _, ...open } = treatment;
  // Two places make no outline.
  const shape: TreatmentOf<'cut'> = { ...open, line: [...line], ...(closed && line.length > 2 ? { closed } : {}) };
  const refusal = samples.dispatch(changeTreatment({ place, treatment: cutOfKind(shape, treatment.what) }));
  if (refusal) ui.getState().say(refusal.message);
}

/** Ends the drawing of a line: as it is, closed to an outline, or given up where it has not come to a line yet. */
export function endLine(table: Parts, closed: boolean): void {
  const { lineDrawn, drawLine } = table.ui.getState();
  drawLine(undefined);
  if (lineDrawn && lineDrawn.line.length > 1) putLine(table, lineDrawn.place, lineDrawn.line, closed);
}
