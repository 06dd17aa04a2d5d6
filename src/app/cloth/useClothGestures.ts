import { type RefObject, useEffect } from 'react';
import { layLensDown } from '#app/model/lens.ts';
import { type Pane, paneAt, poseFrom, poseIn } from '#app/model/panes.ts';
import { orbited, type Pose, panned, zoomedAt } from '#app/model/pose.ts';
import type { TableState, TableStore } from '#app/model/tableState.ts';

/** After the last movement the picture is refined again, ms. */
const settleMs = 160;
/** One notch of a common mouse wheel (100 px) brings the cloth a fifth nearer. */
const zoomPerWheelPx = Math.log(1.2) / 100;
/** Wheels that count in lines send about 3 a notch. */
const pxPerWheelLine = 33;
const keyOrbitPx = 24;
const keyPanPx = 40;
const keyZoom = 1.2;
const keyLensPx = 20;

interface Pointer {
  xPx: number;
  yPx: number;
}

/**
 * Drag tilts; drag with Shift, with the second button or with two fingers moves along; wheel and pinch come nearer.
 * From the keyboard: arrows tilt, with Shift they move along, + and - come nearer and go away, Home shows all of it.
 * With the lens up it goes with the pointer and the arrows, and Escape puts it away.
 */
export function useClothGestures(panelRef: RefObject<HTMLElement | null>, ui: TableStore): void {
  useEffect(() => {
    const panel = panelRef.current;
    if (!panel) return;
    const pointers = new Map<number, Pointer>();
    let panning = false;
    let heldPane = ui.getState().panes[0];
    let settleTimer = 0;

    const moving = () => {
      ui.getState().setMoving(true);
      window.clearTimeout(settleTimer);
      settleTimer = window.setTimeout(() => ui.getState().setMoving(false), settleMs);
    };
    /** Moves the view as the picture under the hand shows it; the others follow. */
    const moveIn = (pane: Pane, change: (...as: Parameters<Parameters<TableState['moveBy']>[0]>) => Pose) =>
      ui.getState().moveBy((pose, size, extent) => poseFrom(pane, change(poseIn(pane, pose), size, extent)));
    const placeOf = (event: MouseEvent): Pointer => {
      const box = panel.getBoundingClientRect();
      return { xPx: event.clientX - box.left, yPx: event.clientY - box.top };
    };

    const paneUnder = (event: MouseEvent): Pane => {
      const { xPx, yPx } = placeOf(event);
      return paneAt(ui.getState().panes, xPx, yPx);
    };

    const onPointerDown = (event: PointerEvent) => {
      panel.setPointerCapture(event.pointerId);
      pointers.set(event.pointerId, placeOf(event));
      panning = event.shiftKey || event.button !== 0;
      if (pointers.size === 1) heldPane = paneUnder(event);
    };

    const onPointerMove = (event: PointerEvent) => {
      const old = pointers.get(event.pointerId);
      const now = placeOf(event);
      ui.getState().pointAt(now);
      // The lens goes with a pointer that holds nothing, and with a finger in place of tilting.
      const { lensAt, holdLens } = ui.getState();
      if (lensAt && (!old || (event.pointerType === 'touch' && pointers.size === 1))) {
        holdLens(now);
        if (old) pointers.set(event.pointerId, now);
        return;
      }
      if (!old) return;
      pointers.set(event.pointerId, now);
      const dx = now.xPx - old.xPx;
      const dy = now.yPx - old.yPx;
      if (dx === 0 && dy === 0) return;
      moving();
      if (pointers.size >= 2) pinch(event.pointerId, old, now);
      else if (panning) moveIn(heldPane, (pose, _size, extent) => panned(pose, dx, dy, extent));
      else moveIn(heldPane, (pose, size) => orbited(pose, dx, dy, size));
    };

    const pinch = (movedId: number, old: Pointer, now: Pointer) => {
      const other = [...pointers].find(([id]) => id !== movedId)?.[1];
      if (!other) return;
      const before = Math.hypot(old.xPx - other.xPx, old.yPx - other.yPx);
      const after = Math.hypot(now.xPx - other.xPx, now.yPx - other.yPx);
      const factor = before > 1 && after > 1 ? before / after : 1;
      const { frame } = heldPane;
      moveIn(heldPane, (pose, size, extent) => {
        const moved = panned(pose, (now.xPx - old.xPx) / 2, (now.yPx - old.yPx) / 2, extent);
        const xPx = (now.xPx + other.xPx) / 2 - frame.xPx;
        const yPx = (now.yPx + other.yPx) / 2 - frame.yPx;
        return zoomedAt(moved, factor, xPx, yPx, size, extent);
      });
    };

    const onPointerEnd = (event: PointerEvent) => {
      pointers.delete(event.pointerId);
    };

    const onPointerLeave = () => ui.getState().pointAt(undefined);

    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const px = event.deltaY * (event.deltaMode === WheelEvent.DOM_DELTA_LINE ? pxPerWheelLine : 1);
      const at = placeOf(event);
      const pane = paneUnder(event);
      moving();
      moveIn(pane, (pose, size, extent) =>
        zoomedAt(pose, Math.exp(px * zoomPerWheelPx), at.xPx - pane.frame.xPx, at.yPx - pane.frame.yPx, size, extent),
      );
    };

    const onKeyDown = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey) return;
      const arrows: Record<string, [number, number]> = {
        ArrowLeft: [-1, 0],
        ArrowRight: [1, 0],
        ArrowUp: [0, -1],
        ArrowDown: [0, 1],
      };
      const arrow = arrows[event.key];
      const state = ui.getState();
      if (event.key === 'Escape' && state.lensAt) {
        event.preventDefault();
        event.stopPropagation();
        layLensDown(ui);
        return;
      }
      if (event.altKey && !state.lensAt) return;
      if (arrow && state.lensAt && !event.shiftKey) {
        const { lensAt, panel } = state;
        event.preventDefault();
        const within = (at: number, most: number) => Math.min(Math.max(at, 0), most);
        state.holdLens({
          xPx: within(lensAt.xPx + arrow[0] * keyLensPx, panel.widthPx),
          yPx: within(lensAt.yPx + arrow[1] * keyLensPx, panel.heightPx),
        });
        return;
      }
      if (arrow && event.shiftKey) {
        state.moveBy((pose, _size, extent) => panned(pose, arrow[0] * keyPanPx, arrow[1] * keyPanPx, extent));
      } else if (arrow) {
        state.moveBy((pose, size) => orbited(pose, arrow[0] * keyOrbitPx, arrow[1] * keyOrbitPx, size));
      } else if (event.key === '+' || event.key === '=' || event.key === '-') {
        const factor = event.key === '-' ? keyZoom : 1 / keyZoom;
        state.moveBy((pose, size, extent) => zoomedAt(pose, factor, size.widthPx / 2, size.heightPx / 2, size, extent));
      } else if (event.key === 'Home') {
        state.fit();
      } else {
        return;
      }
      event.preventDefault();
      moving();
    };

    const noMenu = (event: Event) => event.preventDefault();
    panel.addEventListener('pointerdown', onPointerDown);
    panel.addEventListener('pointermove', onPointerMove);
    panel.addEventListener('pointerup', onPointerEnd);
    panel.addEventListener('pointercancel', onPointerEnd);
    panel.addEventListener('pointerleave', onPointerLeave);
    panel.addEventListener('wheel', onWheel, { passive: false });
    panel.addEventListener('keydown', onKeyDown);
    panel.addEventListener('contextmenu', noMenu);
    return () => {
      window.clearTimeout(settleTimer);
      panel.removeEventListener('pointerdown', onPointerDown);
      panel.removeEventListener('pointermove', onPointerMove);
      panel.removeEventListener('pointerup', onPointerEnd);
      panel.removeEventListener('pointercancel', onPointerEnd);
      panel.removeEventListener('pointerleave', onPointerLeave);
      panel.removeEventListener('wheel', onWheel);
      panel.removeEventListener('keydown', onKeyDown);
      panel.removeEventListener('contextmenu', noMenu);
    };
  }, [panelRef, ui]);
}
