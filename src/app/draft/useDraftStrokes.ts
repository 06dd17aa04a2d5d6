import { type KeyboardEvent, type PointerEvent, useState } from 'react';
import type { DraftArea } from '#engine/draft/area.ts';
import { cellAt, cellsOfStroke, type DraftCell, type DraftTool, isFilled, stepCell } from './draftCells.ts';
import type { DraftLayout, DraftScroll } from './draftLayout.ts';
import type { DraftSheet } from './paintDraft.ts';

/** Editing of the drawn sheet; places are those of the drawing. */
export interface DraftEditing {
  readonly tool: DraftTool;
  readonly area: DraftArea | undefined;
  onMarks(cells: readonly DraftCell[], on: boolean): void;
  onArea(area: DraftArea | undefined): void;
  /** A cell in words, for who does not see the drawing. */
  tell(cell: DraftCell): string;
}

interface Stroke {
  readonly path: readonly DraftCell[];
  readonly on: boolean;
}

/** An area's corners as an area. */
function areaBetween(a: DraftCell, b: DraftCell): DraftArea {
  return {
    fromEnd: Math.min(a.x, b.x),
    toEnd: Math.max(a.x, b.x),
    fromRow: Math.min(a.y, b.y),
    toRow: Math.max(a.y, b.y),
  };
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** How far an arrow goes with the shift of a large draft: Page Up and Page Down do it along the picks. */
const PAGE = 8;

/**
 * Strokes by mouse, pen and finger, and the same by keys: arrows move a square, the space bar marks it, with Shift it
 * ends the line, rectangle or area begun at the last mark. A stroke is shown while it lasts and told once, at its end.
 */
export function useDraftStrokes(
  sheet: DraftSheet,
  layout: DraftLayout,
  scroll: DraftScroll,
  editing: DraftEditing | undefined,
) {
  const [stroke, setStroke] = useState<Stroke | undefined>(undefined);
  const [cursor, setCursor] = useState<DraftCell | undefined>(undefined);
  const [anchor, setAnchor] = useState<DraftCell | undefined>(undefined);
  const drawing = editing !== undefined && editing.tool !== 'choose';

  function finish(path: readonly DraftCell[], on: boolean): void {
    if (!editing) return;
    const last = path[path.length - 1];
    if (editing.tool === 'area') editing.onArea(areaBetween(path[0], last));
    else editing.onMarks(cellsOfStroke(editing.tool, path), on);
    setCursor(last);
    setAnchor(last);
  }

  const place = (event: PointerEvent<HTMLElement>, part?: DraftCell['part']) => {
    const box = event.currentTarget.getBoundingClientRect();
    return cellAt(layout, sheet, scroll, event.clientX - box.left - 1, event.clientY - box.top - 1, part);
  };

  return {
    drawing,
    work: {
      stroke: stroke && editing ? cellsOfStroke(editing.tool, stroke.path) : [],
      cursor,
      area: editing?.area,
    },
    pointer: drawing
      ? {
          onPointerDown(event: PointerEvent<HTMLElement>) {
            if (event.button !== 0) return;
            const cell = place(event);
            // Areas are of the drawdown; elsewhere nothing of an area can be meant.
            if (!cell || (editing.tool === 'area' && cell.part !== 'drawdown')) return;
            event.currentTarget.setPointerCapture(event.pointerId);
            setStroke({ path: [cell], on: !isFilled(sheet, cell) });
          },
          onPointerMove(event: PointerEvent<HTMLElement>) {
            if (!stroke) return;
            const cell = place(event, stroke.path[0].part);
            const last = stroke.path[stroke.path.length - 1];
            if (!cell || (cell.x === last.x && cell.y === last.y)) return;
            setStroke({ ...stroke, path: [...stroke.path, cell] });
          },
          onPointerUp() {
            if (!stroke) return;
            setStroke(undefined);
            finish(stroke.path, stroke.on);
          },
          onPointerCancel() {
            setStroke(undefined);
          },
        }
      : {},
    /** Whether the key was one of ours. */
    onKey(event: KeyboardEvent<HTMLElement>): boolean {
      if (!drawing) return false;
      if (event.key === 'Escape' && (stroke || editing.area)) {
        setStroke(undefined);
        editing.onArea(undefined);
        return true;
      }
      const arrow =
        arrows[event.key] ?? (event.key === 'PageUp' ? [0, PAGE] : event.key === 'PageDown' ? [0, -PAGE] : undefined);
      const at = cursor ?? { part: 'drawdown' as const, x: 0, y: 0 };
      if (arrow) {
        setCursor(cursor ? stepCell(sheet, at, arrow[0], arrow[1]) : at);
        return true;
      }
      if (event.key !== ' ' && event.key !== 'Enter') return false;
      const from = event.shiftKey && anchor && anchor.part === at.part ? anchor : at;
      if (editing.tool === 'area' && at.part !== 'drawdown') return true;
      // A line from a mark goes on as the mark does.
      finish([from, at], from === at ? !isFilled(sheet, at) : isFilled(sheet, from));
      return true;
    },
    cursorWords: cursor && editing ? editing.tell(cursor) : '',
    cursor,
  };
}
