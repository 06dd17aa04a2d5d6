import { lensBox, lensCloser, type Pane, type PaneBox, paneAt, poseIn } from './panes.ts';
import { clothPointAt } from './pose.ts';
import type { TableState, TableStore } from './tableState.ts';

/** What the lens shows: a box of the panel, the point of the cloth in its middle, and the picture below it. */
export interface Lens {
  readonly box: PaneBox;
  readonly pane: Pane;
  readonly centreMm: readonly [number, number];
  readonly closer: number;
}

/** Undefined where there is no lens, or nothing of the cloth's plane below it. */
export function lensOf({
  lensAt,
  panel,
  panes,
  pose,
  size,
}: Pick<TableState, 'lensAt' | 'panel' | 'panes' | 'pose' | 'size'>): Lens | undefined {
  if (!lensAt) return undefined;
  const pane = paneAt(panes, lensAt.xPx, lensAt.yPx);
  const point = clothPointAt(poseIn(pane, pose), size, lensAt.xPx - pane.frame.xPx, lensAt.yPx - pane.frame.yPx);
  if (!point) return undefined;
  const box = lensBox(panel, lensAt.xPx, lensAt.yPx);
  return { box, pane, centreMm: [point.xMm, point.yMm], closer: lensCloser };
}

/** Takes the lens up where the pointer is over the cloth, else over the middle of the first picture; or lays it down. */
export function takeLens(ui: TableStore): void {
  const { lensAt, holdLens, size, pointedAt } = ui.getState();
  if (lensAt) {
    layLensDown(ui);
    return;
  }
  holdLens(pointedAt ?? { xPx: size.widthPx / 2, yPx: size.heightPx / 2 });
  ui.getState().say('The lens follows the pointer, or the arrows; Escape puts it away.', { goesWith: ['lens'] });
  // Its arrows belong to the cloth.
  document.querySelector<HTMLElement>('.cloth-panel')?.focus();
}

export function layLensDown(ui: TableStore): void {
  ui.getState().holdLens(undefined);
}
