import {
  type KeyboardEvent,
  type MouseEvent,
  type ReactNode,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import { useCanvas } from '#app/model/useCanvas.ts';
import { formatNumber } from '#app/words/numbers.ts';
import {
  cellSizesPx,
  clamp,
  type DraftPlace,
  type DraftScroll,
  draftLayout,
  fittingCellIndex,
  middleOf,
  placeAt,
  scrollTo,
} from './draftLayout.ts';
import { type DraftMarks, type DraftSheet, paintDraft } from './paintDraft.ts';
import { type DraftEditing, useDraftStrokes } from './useDraftStrokes.ts';

export interface DraftSheetViewProps {
  readonly sheet: DraftSheet;
  readonly words: string;
  readonly marks: DraftMarks;
  /** The place to open at and to come back to; asked anew each time. */
  readonly seen: () => DraftPlace;
  readonly onRow: (row: number) => void;
  readonly onEnd: (end: number) => void;
  /** Where the sheet may be drawn on. */
  readonly editing?: DraftEditing;
  /** Shown above the sheet. */
  readonly tools?: ReactNode;
}

/**
 * The draft on paper, opened at the place seen in the cloth. Threading and lifts stay in sight while the drawdown
 * scrolls between them; only what shows is drawn, so a long sample costs no more.
 */
export function DraftSheetView({ sheet, words, marks, seen, onRow, onEnd, editing, tools }: DraftSheetViewProps) {
  const scrollerRef = useRef<HTMLElement>(null);
  const [size, setSize] = useState({ widthPx: 0, heightPx: 0 });
  const [chosenIndex, setChosenIndex] = useState<number | undefined>(undefined);
  const [scroll, setScroll] = useState<DraftScroll>({ x: 0, y: 0 });
  /** What to bring into the middle once the sheet is laid out anew. */
  const goalRef = useRef<DraftPlace | undefined>(undefined);
  const openedRef = useRef(false);
  const { rows } = sheet.drawdown;
  const cellIndex = chosenIndex ?? (size.widthPx > 0 ? fittingCellIndex(sheet, size.widthPx, size.heightPx) : 4);
  const layout = useMemo(
    () => draftLayout(sheet, size.widthPx, size.heightPx, cellSizesPx[cellIndex]),
    [sheet, size, cellIndex],
  );

  useEffect(() => {
    const scroller = scrollerRef.current;
    if (!scroller) return;
    // The page stands still where the drawer is below what is seen of it.
    scroller.closest('.draft-drawer')?.scrollIntoView({ block: 'nearest' });
    const measure = () =>
      setSize((old) =>
        old.widthPx === scroller.clientWidth && old.heightPx === scroller.clientHeight
          ? old
          : { widthPx: scroller.clientWidth, heightPx: scroller.clientHeight },
      );
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(scroller);
    return () => observer.disconnect();
  }, []);

  useLayoutEffect(() => {
    const scroller = scrollerRef.current;
    if (!scroller || size.widthPx === 0) return;
    if (!openedRef.current) goalRef.current = seen();
    openedRef.current = true;
    if (goalRef.current) {
      goTo(scroller, scrollTo(layout, rows, goalRef.current), setScroll);
      goalRef.current = undefined;
    }
  });

  const markKey = `${marks.rows?.from} ${marks.rows?.to} ${marks.ends?.from} ${marks.ends?.to}`;
  const shownKeyRef = useRef(markKey);
  useEffect(() => {
    const scroller = scrollerRef.current;
    if (shownKeyRef.current === markKey || !scroller) return;
    shownKeyRef.current = markKey;
    const c = layout.cellPx;
    const middle = middleOf(layout, rows, { x: scroller.scrollLeft, y: scroller.scrollTop });
    const strays = (range: DraftMarks['rows'], at: number, px: number) =>
      range !== undefined && (range.to < at - px / c / 2 + 1 || range.from > at + px / c / 2 - 1);
    const rowStrays = strays(marks.rows, middle.row, layout.height);
    const endStrays = strays(marks.ends, middle.end, layout.width);
    if (!rowStrays && !endStrays) return;
    const to = scrollTo(layout, rows, {
      row: rowStrays && marks.rows ? (marks.rows.from + marks.rows.to) / 2 : middle.row,
      end: endStrays && marks.ends ? (marks.ends.from + marks.ends.to) / 2 : middle.end,
    });
    goTo(scroller, to, setScroll);
  }, [markKey, marks, layout, rows]);

  /** Cells larger or smaller, the middle of the window staying where it is. */
  function resize(by: number) {
    const next = clamp(cellIndex + by, 0, cellSizesPx.length - 1);
    const scroller = scrollerRef.current;
    if (next === cellIndex || !scroller) return;
    goalRef.current = middleOf(layout, rows, { x: scroller.scrollLeft, y: scroller.scrollTop });
    setChosenIndex(next);
  }

  const resizeRef = useRef(resize);
  useEffect(() => {
    resizeRef.current = resize;
  });
  useEffect(() => {
    const scroller = scrollerRef.current;
    if (!scroller) return;
    // Also what a pinch on a touchpad sends.
    const onWheel = (event: WheelEvent) => {
      if (!event.ctrlKey || event.deltaY === 0) return;
      event.preventDefault();
      resizeRef.current(event.deltaY < 0 ? 1 : -1);
    };
    scroller.addEventListener('wheel', onWheel, { passive: false });
    return () => scroller.removeEventListener('wheel', onWheel);
  }, []);

  function toSeen() {
    if (scrollerRef.current) goTo(scrollerRef.current, scrollTo(layout, rows, seen()), setScroll);
  }

  const strokes = useDraftStrokes(sheet, layout, scroll, editing);

  const cursorKey = strokes.cursor && `${strokes.cursor.part} ${strokes.cursor.x} ${strokes.cursor.y}`;
  const cursorRef = useRef(strokes.cursor);
  cursorRef.current = strokes.cursor;
  // What keys have moved to comes into the window.
  useEffect(() => {
    const scroller = scrollerRef.current;
    const cursor = cursorRef.current;
    if (cursorKey === undefined || !scroller || !cursor) return;
    const c = layout.cellPx;
    const now = { x: scroller.scrollLeft, y: scroller.scrollTop };
    const x = cursor.x * c;
    const y = (rows - 1 - cursor.y) * c;
    const alongX = cursor.part === 'drawdown' || cursor.part === 'threading';
    const alongY = cursor.part === 'drawdown' || cursor.part === 'lifts';
    const to = {
      x: alongX ? clamp(now.x, x - layout.width + c, x) : now.x,
      y: alongY ? clamp(now.y, y - layout.height + c, y) : now.y,
    };
    if (to.x !== now.x || to.y !== now.y) goTo(scroller, to, setScroll);
  }, [cursorKey, layout, rows]);

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (strokes.onKey(event)) {
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    if (event.key === '+' || event.key === '=') resize(1);
    else if (event.key === '-') resize(-1);
    else if (event.key === 'Home') toSeen();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  function onClick(event: MouseEvent<HTMLElement>) {
    if (strokes.drawing) return;
    const box = event.currentTarget.getBoundingClientRect();
    const place = placeAt(layout, sheet, scroll, event.clientX - box.left - 1, event.clientY - box.top - 1);
    if (place?.row !== undefined) onRow(place.row);
    else if (place?.end !== undefined) onEnd(place.end);
  }

  const canvasRef = useCanvas((context, widthPx, heightPx, ink) => {
    context.clearRect(0, 0, widthPx, heightPx);
    paintDraft(context, sheet, layout, scroll, marks, ink, formatNumber, strokes.work);
  });

  return (
    <div className="draft-sheet">
      <div className="draft-tools">
        {tools}
        <fieldset className="tools" aria-label="Sheet">
          <button type="button" onClick={toSeen}>
            To the place seen
          </button>
          <button type="button" disabled={cellIndex === 0} onClick={() => resize(-1)}>
            Smaller
          </button>
          <button type="button" disabled={cellIndex === cellSizesPx.length - 1} onClick={() => resize(1)}>
            Larger
          </button>
        </fieldset>
      </div>
      <p className="soft draft-line" title={words}>
        {words}
      </p>
      <p className="out-of-sight" role="status">
        {strokes.cursorWords}
      </p>
      <section
        ref={scrollerRef}
        className={strokes.drawing ? 'draft-scroller drawn-on' : 'draft-scroller'}
        aria-label="Draft, drawn: threading above, drawdown below with the first pick lowest. Plus and minus change its size, Home goes to the place seen in the cloth. Where it is drawn on, arrows move a square and the space bar marks it; with Shift it ends the line, block or area."
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable to be scrolled by keys
        tabIndex={0}
        onScroll={(event) => setScroll({ x: event.currentTarget.scrollLeft, y: event.currentTarget.scrollTop })}
        onKeyDown={onKeyDown}
        onClick={onClick}
        {...strokes.pointer}
      >
        <canvas ref={canvasRef} className="draft-canvas" />
        <div
          className="draft-extent"
          style={{
            width: `calc(100cqw + ${layout.mostScrollX}px)`,
            height: `calc(100cqh + ${layout.mostScrollY}px)`,
          }}
        />
      </section>
    </div>
  );
}

/** Scrolls and tells at once, so that the next drawing is of the right place: the event may come frames later. */
function goTo(scroller: HTMLElement, to: DraftScroll, tell: (scroll: DraftScroll) => void): void {
  scroller.scrollTo(to.x, to.y);
  tell({ x: scroller.scrollLeft, y: scroller.scrollTop });
}
