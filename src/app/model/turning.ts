import { turnedOver } from './pose.ts';
import type { TableStore } from './tableState.ts';

/** Long enough to see which way it turns, short enough to compare the sides, ms. */
const turnMs = 420;

const underWay = new WeakMap<TableStore, { frame: number; endYawRad: number }>();

/** Turns the cloth over before the eye; at once where the reader asks for reduced motion. */
export function turnOver(ui: TableStore): void {
  finish(ui);
  const start = ui.getState().pose;
  const end = turnedOver(start);
  if (window.matchMedia('(prefers-reduced-motion: reduce)').matches || document.visibilityState === 'hidden') {
    ui.getState().setPose(end);
    return;
  }
  const began = performance.now();
  const turn = { frame: 0, endYawRad: end.yawRad };
  underWay.set(ui, turn);
  ui.getState().setMoving(true);
  const step = (now: number) => {
    const share = Math.min(Math.max((now - began) / turnMs, 0), 1);
    const eased = share * share * (3 - 2 * share);
    ui.getState().setPose({ ...ui.getState().pose, yawRad: start.yawRad + eased * (end.yawRad - start.yawRad) });
    if (share < 1) {
      turn.frame = requestAnimationFrame(step);
    } else {
      underWay.delete(ui);
      ui.getState().setMoving(false);
    }
  };
  turn.frame = requestAnimationFrame(step);
}

/** A turn still under way is completed before the next begins, so that two quick turns show the first side again. */
function finish(ui: TableStore): void {
  const turn = underWay.get(ui);
  if (!turn) return;
  cancelAnimationFrame(turn.frame);
  underWay.delete(ui);
  ui.getState().setPose({ ...ui.getState().pose, yawRad: turn.endYawRad });
  ui.getState().setMoving(false);
}
