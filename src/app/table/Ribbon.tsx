import { type KeyboardEvent, type MouseEvent, type PointerEvent, useId, useMemo, useRef } from 'react';
import { type PanelSize, type Pose, sideOf } from '#app/model/pose.ts';
import { paintRibbon, type ThreadSpan } from '#app/model/ribbonPaint.ts';
import { type RibbonAxis, ribbonBoundaries, threadAt } from '#app/model/ribbonScale.ts';
import type { ThreadRange } from '#app/model/tableState.ts';
import { groupThreads } from '#app/model/threadGroups.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import { formatNumber } from '#app/words/numbers.ts';
import type { ColourRun } from '#engine/yarn/colourRepeat.ts';

/** Threads in their order, each of a kind; tables are by kind. */
export interface RibbonThreads {
  readonly positionsMm: ArrayLike<number>;
  readonly yarnOf: ArrayLike<number>;
  /** Part of the cloth's width that a kind takes, 0 the left of the face .. 1; absent: all of it. */
  readonly spanOf?: readonly (ThreadSpan | undefined)[];
  /** The cloth's own yarn of each kind; absent: kinds are its yarns. */
  readonly sourceOf?: readonly number[];
  /** The pick of each row; absent where each thread stands by itself. */
  readonly pickOf?: ArrayLike<number>;
  readonly coloursOf: readonly (readonly string[])[];
  /** By thread, colours along it from the left of the face; absent or undefined: its kind's. */
  readonly runsOf?: readonly (readonly ColourRun[] | undefined)[];
  readonly namesOf: readonly string[];
  readonly widthMmOf: ArrayLike<number>;
}

export interface RibbonProps {
  readonly axis: RibbonAxis;
  readonly label: string;
  /** "pick" or "end", as the spoken description names one. */
  readonly threadWord: string;
  readonly threads: RibbonThreads;
  readonly pose: Pose;
  readonly size: PanelSize;
  readonly selected: ThreadRange | undefined;
  readonly cursor: number;
  readonly dropAt: ThreadRange | undefined;
  readonly onSelect: (range: ThreadRange | undefined, cursor: number) => void;
  readonly onUseYarn: () => void;
  /** Keys that mean something here alone; true where it was one. */
  readonly onOwnKey?: (event: KeyboardEvent<HTMLDivElement>) => boolean;
  /** A menu is asked for, at a place on the screen, for a thread that is then under the cursor. */
  readonly onMenu?: (place: { readonly xPx: number; readonly yPx: number }) => void;
}

/** Pointer travel below which a press is a click on one thread, px. */
const clickPx = 3;

/**
 * Picks or ends at their true places beside the cloth. One tab stop: arrows move the cursor, with Shift they select,
 * Ctrl or Cmd with A selects all, Enter weaves the chosen yarn into the selection, Escape lets go of it.
 */
export function Ribbon(props: RibbonProps) {
  const { axis, label, threadWord, threads, pose, size, selected, cursor, dropAt, onSelect, onUseYarn } = props;
  const optionId = useId();
  const anchorRef = useRef<{ thread: number; px: number } | undefined>(undefined);
  const count = threads.positionsMm.length;
  const groups = useMemo(() => groupThreads(threads.yarnOf), [threads.yarnOf]);
  const boundaries = useMemo(
    () => ribbonBoundaries(new Float32Array(count + 1), threads.positionsMm, axis, pose, size),
    [count, threads.positionsMm, axis, pose, size],
  );
  const meanPitchMm = count < 2 ? 1 : Math.abs(threads.positionsMm[count - 1] - threads.positionsMm[0]) / (count - 1);
  const along = axis === 'picks';

  const canvasRef = useCanvas((context, widthPx, heightPx, ink) =>
    paintRibbon(context, {
      axis,
      lengthPx: along ? heightPx : widthPx,
      thicknessPx: along ? widthPx : heightPx,
      marginPx: along ? 36 : 20,
      boundaries,
      count,
      positionsMm: threads.positionsMm,
      pickOf: threads.pickOf,
      yarnOf: threads.yarnOf,
      spanOf: threads.spanOf,
      mirrored: along && sideOf(pose) === 'back',
      coloursOf: threads.coloursOf,
      runsOf: threads.runsOf,
      widthMmOf: threads.widthMmOf,
      meanPitchMm,
      groups,
      selected,
      cursor: count > 0 ? cursor : undefined,
      dropAt,
      ink,
      formatNumber,
    }),
  );

  function placeOf(event: PointerEvent): { thread: number; px: number } {
    const box = event.currentTarget.getBoundingClientRect();
    const px = along ? event.clientY - box.top : event.clientX - box.left;
    return { thread: threadAt(boundaries, count, px), px };
  }

  function onPointerDown(event: PointerEvent<HTMLDivElement>) {
    if (event.button !== 0 || count === 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    const place = placeOf(event);
    if (event.shiftKey && selected) {
      anchorRef.current = { thread: place.thread > selected.from ? selected.from : selected.to, px: -1e6 };
    } else {
      anchorRef.current = place;
    }
    onSelect(ordered(anchorRef.current.thread, place.thread), place.thread);
  }

  function onPointerMove(event: PointerEvent<HTMLDivElement>) {
    const anchor = anchorRef.current;
    if (!anchor) return;
    const place = placeOf(event);
    if (Math.abs(place.px - anchor.px) < clickPx) return;
    onSelect(ordered(anchor.thread, place.thread), place.thread);
  }

  function onPointerEnd() {
    anchorRef.current = undefined;
  }

  function onKeyDown(event: KeyboardEvent<HTMLDivElement>) {
    if (count === 0) return;
    if (props.onOwnKey?.(event)) {
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    const step = stepOf(event.key, axis, count, cursor);
    if (step !== undefined) {
      const next = Math.min(Math.max(step, 0), count - 1);
      const fixed = selected ? (cursor === selected.to ? selected.from : selected.to) : cursor;
      onSelect(event.shiftKey ? ordered(fixed, next) : ordered(next, next), next);
    } else if (event.key.toLowerCase() === 'a' && (event.ctrlKey || event.metaKey)) {
      onSelect({ from: 0, to: count - 1 }, cursor);
    } else if (event.key === 'Escape') {
      onSelect(undefined, cursor);
    } else if (event.key === 'Enter') {
      onUseYarn();
    } else {
      return;
    }
    event.preventDefault();
    event.stopPropagation();
  }

  /** A long press or the second button asks what can be done; threads outside the selection are chosen first. */
  function onContextMenu(event: MouseEvent<HTMLDivElement>) {
    if (!props.onMenu || count === 0) return;
    event.preventDefault();
    anchorRef.current = undefined;
    const box = event.currentTarget.getBoundingClientRect();
    const thread = threadAt(boundaries, count, along ? event.clientY - box.top : event.clientX - box.left);
    if (!selected || thread < selected.from || thread > selected.to) onSelect({ from: thread, to: thread }, thread);
    props.onMenu({ xPx: event.clientX, yPx: event.clientY });
  }

  const isSelected = selected !== undefined && cursor >= selected.from && cursor <= selected.to;
  return (
    <div
      className={`ribbon ribbon-${axis}`}
      role="listbox"
      tabIndex={0}
      aria-label={label}
      aria-multiselectable="true"
      aria-orientation={along ? 'vertical' : 'horizontal'}
      aria-activedescendant={count > 0 ? optionId : undefined}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerEnd}
      onPointerCancel={onPointerEnd}
      onKeyDown={onKeyDown}
      onContextMenu={onContextMenu}
    >
      <canvas ref={canvasRef} />
      {count > 0 && (
        <div
          id={optionId}
          className="out-of-sight"
          role="option"
          tabIndex={-1}
          aria-selected={isSelected}
          aria-posinset={cursor + 1}
          aria-setsize={count}
        >
          {describe(threadWord, cursor, threads, selected)}
        </div>
      )}
    </div>
  );
}

function describe(threadWord: string, cursor: number, threads: RibbonThreads, selected: ThreadRange | undefined) {
  const name = threads.namesOf[threads.yarnOf[cursor]] ?? '';
  const numberOf = (thread: number) => threads.pickOf?.[thread] ?? thread;
  const chosen = selected ? `, ${formatNumber(numberOf(selected.to) - numberOf(selected.from) + 1)} selected` : '';
  return `${threadWord} ${formatNumber(numberOf(cursor) + 1)}: ${name}${chosen}`;
}

function ordered(a: number, b: number): ThreadRange {
  return a <= b ? { from: a, to: b } : { from: b, to: a };
}

/** Where a key takes the cursor: picks grow upward, ends to the right as seen from the face. */
function stepOf(key: string, axis: RibbonAxis, count: number, cursor: number): number | undefined {
  const [less, more] = axis === 'picks' ? ['ArrowDown', 'ArrowUp'] : ['ArrowLeft', 'ArrowRight'];
  if (key === less) return cursor - 1;
  if (key === more) return cursor + 1;
  if (key === 'PageUp') return cursor + 10;
  if (key === 'PageDown') return cursor - 10;
  if (key === 'Home') return 0;
  if (key === 'End') return count - 1;
  return undefined;
}
