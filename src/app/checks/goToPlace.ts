import { goTo, type MarkedPlace } from '#app/model/grinPlaces.ts';
import { sideOf } from '#app/model/pose.ts';
import type { TableModel } from '#app/model/tableModel.ts';
import { turnOver } from '#app/model/turning.ts';
import type { Place, Side } from '#engine/weave/checks/checkTypes.ts';

/** Turns to the side, goes to the place on the cloth, marks it, and selects its picks or ends, at which the draft opens. */
export function goToPlace(table: Pick<TableModel, 'ui' | 'forecast'>, place: Place, side?: Side): void {
  const { ui, forecast } = table;
  const { result, resultCloth } = forecast.state.getState();
  if (!result || !resultCloth) return;
  const { ends, rows } = result.geometry;
  const { rowPick } = resultCloth.problem;
  if (side && sideOf(ui.getState().pose) !== side) turnOver(ui);
  lookAtPlace(table, place);
  if (place.toRow - place.fromRow + 1 < rows) {
    const range = { from: rowPick[Math.min(place.fromRow, rows - 1)], to: rowPick[Math.min(place.toRow, rows - 1)] };
    ui.getState().select({ kind: 'picks', range });
    ui.getState().setCursor('picks', range.from);
  } else if (place.toEnd - place.fromEnd + 1 < ends) {
    ui.getState().select({ kind: 'ends', range: { from: place.fromEnd, to: place.toEnd } });
    ui.getState().setCursor('ends', place.fromEnd);
  }
}

/** Brings every picture to the place on the cloth and marks it there. */
export function lookAtPlace({ ui, forecast }: Pick<TableModel, 'ui' | 'forecast'>, place: Place): void {
  const { result } = forecast.state.getState();
  if (!result) return;
  const box = boxOf(place, result.geometry.endXMm, result.geometry.rowYMm);
  ui.getState().moveBy((now, size) => goTo(now, size, box));
  ui.getState().mark(box);
}

/** Half a pitch round the threads of a place. */
function boxOf(place: Place, endXMm: ArrayLike<number>, rowYMm: ArrayLike<number>): MarkedPlace {
  const [minXMm, maxXMm] = span(endXMm, place.fromEnd, place.toEnd);
  const [minYMm, maxYMm] = span(rowYMm, place.fromRow, place.toRow);
  return { minXMm, maxXMm, minYMm, maxYMm };
}

function span(at: ArrayLike<number>, from: number, to: number): [number, number] {
  const last = at.length - 1;
  const half = last > 0 ? Math.abs(at[last] - at[0]) / last / 2 : 0.5;
  return [at[Math.min(from, last)] - half, at[Math.min(to, last)] + half];
}
