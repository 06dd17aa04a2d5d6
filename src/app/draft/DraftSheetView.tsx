import { useMemo, useRef, useState } from 'react';
import { useCanvas } from '#app/model/useCanvas.ts';
import { type DraftSheet, paintDraft, sheetSize } from './paintDraft.ts';

const cellSizesPx = [2, 3, 4, 6, 8, 11, 15];

/** The draft on paper: scrolls under a canvas that draws only what is in sight, so a long sample costs no more. */
export function DraftSheetView({ sheet, words }: { readonly sheet: DraftSheet; readonly words: string }) {
  const [cellIndex, setCellIndex] = useState(4);
  const [scroll, setScroll] = useState({ leftPx: 0, topPx: 0 });
  const scrollerRef = useRef<HTMLElement>(null);
  const cellPx = cellSizesPx[cellIndex];
  const size = useMemo(() => sheetSize(sheet), [sheet]);

  const canvasRef = useCanvas((context, widthPx, heightPx, ink) =>
    paintDraft(context, sheet, { ...scroll, widthPx, heightPx, cellPx }, ink),
  );

  return (
    <div className="draft-sheet">
      <div className="draft-tools">
        <p className="soft">{words}</p>
        <button type="button" disabled={cellIndex === 0} onClick={() => setCellIndex(cellIndex - 1)}>
          Smaller
        </button>
        <button
          type="button"
          disabled={cellIndex === cellSizesPx.length - 1}
          onClick={() => setCellIndex(cellIndex + 1)}
        >
          Larger
        </button>
      </div>
      <section
        ref={scrollerRef}
        className="draft-scroller"
        aria-label="Draft, drawn: threading above, drawdown below with the first pick lowest"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable to be scrolled by keys
        tabIndex={0}
        onScroll={(event) =>
          setScroll({ leftPx: event.currentTarget.scrollLeft, topPx: event.currentTarget.scrollTop })
        }
      >
        <canvas ref={canvasRef} className="draft-canvas" />
        <div
          className="draft-extent"
          style={{ width: `${size.columns * cellPx + 1}px`, height: `${size.rows * cellPx + 1}px` }}
        />
      </section>
    </div>
  );
}
