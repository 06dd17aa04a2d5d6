import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import type { PanelSize, Pose } from '#app/model/pose.ts';
import type { InkColours } from '#app/model/ribbonPaint.ts';
import { ribbonBoundaries, threadAt } from '#app/model/ribbonScale.ts';
import type { ThreadRange } from '#app/model/tableState.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import { formatNumber } from '#app/words/numbers.ts';

export interface BeatTraceProps {
  readonly rowYMm: ArrayLike<number>;
  readonly rowPick: ArrayLike<number>;
  /** Per pick, 0 loosest .. 1 firmest. */
  readonly firmness: ArrayLike<number>;
  readonly pose: Pose;
  readonly size: PanelSize;
  readonly selected: ThreadRange | undefined;
  readonly cursor: number;
  /** A gesture opens, changes the beat of some picks any number of times, then closes as one undo step. */
  readonly onBegin: () => void;
  readonly onBeat: (picks: ThreadRange, firmness: number) => void;
  /** `drawn`: picks that a pointer moved which were not selected. */
  readonly onCommit: (drawn?: ThreadRange) => void;
  /** What a drag has hold of, and undefined once it is over; yPx from the top. */
  readonly onHeld: (held: { range: ThreadRange; firmness: number; yPx: number } | undefined) => void;
  readonly onCancel: () => void;
  readonly onCursor: (pick: number) => void;
}

/** Half height of what a drag takes hold of, px: about a fingertip's middle. */
const brushPx = 5;
const insetPx = 8;
const keyStep = 0.02;
/** Presses of a key no further apart belong together. */
const pressesMs = 700;

/**
 * The beat of every pick beside it: to the right firmer, to the left looser. A drag draws it for the picks under the
 * pointer, or moves the whole selection where it starts on one; arrows do the same from the keyboard.
 */
export function BeatTrace(props: BeatTraceProps) {
  const { rowYMm, rowPick, firmness, pose, size, selected, cursor } = props;
  const rows = rowYMm.length;
  const boundaries = useMemo(
    () => ribbonBoundaries(new Float32Array(rows + 1), rowYMm, 'picks', pose, size),
    [rows, rowYMm, pose, size],
  );
  const dragRef = useRef<
    { lastPick: number; whole: ThreadRange | undefined; drawn: ThreadRange | undefined } | undefined
  >(undefined);
  const pressesRef = useRef<number | undefined>(undefined);
  const commitRef = useRef(props.onCommit);
  commitRef.current = props.onCommit;
  useEffect(() => () => window.clearTimeout(pressesRef.current), []);
  const [held, setHeld] = useState<ThreadRange | undefined>(undefined);

  const canvasRef = useCanvas((context, widthPx, heightPx, ink) => {
    context.clearRect(0, 0, widthPx, heightPx);
    paintGuides(context, widthPx, heightPx, ink);
    if (rows === 0) return;
    paintTrace(context, widthPx, heightPx, ink, props, boundaries, held ?? selected);
  });

  function pickAt(yPx: number): number {
    return rowPick[threadAt(boundaries, rows, yPx)];
  }

  function placeOf(event: PointerEvent<HTMLDivElement>) {
    const box = event.currentTarget.getBoundingClientRect();
    const share = (event.clientX - box.left - insetPx) / Math.max(box.width - 2 * insetPx, 1);
    return { yPx: event.clientY - box.top, firmness: Math.min(Math.max(share, 0), 1) };
  }

  function underBrush(yPx: number): ThreadRange {
    const a = pickAt(yPx - brushPx);
    const b = pickAt(yPx + brushPx);
    return { from: Math.min(a, b), to: Math.max(a, b) };
  }

  function onPointerDown(event: PointerEvent<HTMLDivElement>) {
    if (event.button !== 0 || rows === 0) return;
    endPresses();
    event.currentTarget.setPointerCapture(event.pointerId);
    const place = placeOf(event);
    const pick = pickAt(place.yPx);
    const whole = selected && pick >= selected.from && pick <= selected.to ? selected : undefined;
    dragRef.current = { lastPick: pick, whole, drawn: undefined };
    const range = whole ?? underBrush(place.yPx);
    setHeld(range);
    props.onHeld({ range, firmness: firmness[range.from], yPx: place.yPx });
    props.onBegin();
  }

  function onPointerMove(event: PointerEvent<HTMLDivElement>) {
    const drag = dragRef.current;
    if (!drag) return;
    const place = placeOf(event);
    const here = underBrush(place.yPx);
    const swept = drag.whole ?? {
      from: Math.min(here.from, drag.lastPick),
      to: Math.max(here.to, drag.lastPick),
    };
    drag.lastPick = pickAt(place.yPx);
    setHeld(swept);
    if (!drag.whole) {
      const { from, to } = drag.drawn ?? swept;
      drag.drawn = { from: Math.min(from, swept.from), to: Math.max(to, swept.to) };
    }
    props.onHeld({ range: swept, firmness: place.firmness, yPx: place.yPx });
    props.onBeat(swept, place.firmness);
  }

  function onPointerUp() {
    if (!dragRef.current) return;
    const { drawn } = dragRef.current;
    dragRef.current = undefined;
    setHeld(undefined);
    props.onHeld(undefined);
    props.onCommit(drawn);
  }

  function abandon() {
    if (!dragRef.current) return;
    dragRef.current = undefined;
    setHeld(undefined);
    props.onHeld(undefined);
    props.onCancel();
  }

  function endPresses() {
    if (pressesRef.current === undefined) return;
    window.clearTimeout(pressesRef.current);
    pressesRef.current = undefined;
    commitRef.current();
  }

  function onKeyDown(event: KeyboardEvent<HTMLDivElement>) {
    const picks = firmness.length;
    if (picks === 0) return;
    const firmer = event.key === 'ArrowRight' ? keyStep : event.key === 'ArrowLeft' ? -keyStep : 0;
    if (event.key === 'Escape' && dragRef.current) {
      abandon();
    } else if (firmer !== 0) {
      const range = selected ?? { from: cursor, to: cursor };
      // Presses that follow each other are one gesture, and one step of undo.
      if (pressesRef.current === undefined) props.onBegin();
      else window.clearTimeout(pressesRef.current);
      pressesRef.current = window.setTimeout(endPresses, pressesMs);
      props.onBeat(range, Math.min(Math.max(firmness[range.from] + firmer, 0), 1));
    } else if (event.key === 'ArrowUp' || event.key === 'ArrowDown') {
      endPresses();
      props.onCursor(Math.min(Math.max(cursor + (event.key === 'ArrowUp' ? 1 : -1), 0), picks - 1));
    } else {
      return;
    }
    event.preventDefault();
    event.stopPropagation();
  }

  const range = selected ?? { from: cursor, to: cursor };
  const picksText = range.from === range.to ? `pick ${range.from + 1}` : `picks ${range.from + 1} to ${range.to + 1}`;
  return (
    <div
      className="beat-trace"
      role="slider"
      tabIndex={0}
      aria-label={`Beat, ${picksText}`}
      aria-orientation="horizontal"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round((firmness[range.from] ?? 0) * 100)}
      aria-valuetext={`${formatNumber((firmness[range.from] ?? 0) * 100)} % of the firmest`}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerCancel={abandon}
      onKeyDown={onKeyDown}
      onBlur={endPresses}
    >
      <canvas ref={canvasRef} />
    </div>
  );
}

function xOf(firmness: number, widthPx: number): number {
  return insetPx + firmness * (widthPx - 2 * insetPx);
}

function paintGuides(context: CanvasRenderingContext2D, widthPx: number, heightPx: number, ink: InkColours) {
  context.fillStyle = ink.hairline;
  for (const share of [0, 0.5, 1]) context.fillRect(Math.round(xOf(share, widthPx)), 0, 1, heightPx);
}

function paintTrace(
  context: CanvasRenderingContext2D,
  widthPx: number,
  heightPx: number,
  ink: InkColours,
  props: BeatTraceProps,
  boundaries: Float32Array,
  held: ThreadRange | undefined,
) {
  const { rowPick, firmness, rowYMm } = props;
  context.beginPath();
  for (let row = 0; row < rowYMm.length; row++) {
    const x = xOf(firmness[rowPick[row]], widthPx);
    context.lineTo(x, boundaries[row]);
    context.lineTo(x, boundaries[row + 1]);
  }
  context.strokeStyle = ink.ink;
  context.lineWidth = 1.5;
  context.stroke();
  if (!held) return;
  context.beginPath();
  let started = false;
  let low = heightPx;
  let high = 0;
  for (let row = 0; row < rowYMm.length; row++) {
    const pick = rowPick[row];
    if (pick < held.from || pick > held.to) continue;
    const x = xOf(firmness[pick], widthPx);
    if (!started) context.moveTo(x, boundaries[row]);
    context.lineTo(x, boundaries[row]);
    context.lineTo(x, boundaries[row + 1]);
    started = true;
    low = Math.min(low, boundaries[row], boundaries[row + 1]);
    high = Math.max(high, boundaries[row], boundaries[row + 1]);
  }
  context.strokeStyle = ink.accent;
  context.lineWidth = 4;
  context.stroke();
  const x = xOf(firmness[held.to], widthPx);
  context.fillStyle = ink.accent;
  context.fillRect(x - 4, (low + high) / 2 - 4, 8, 8);
}
