import { type KeyboardEvent, type MouseEvent, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { evenRamp, GRIN_RAMP } from '#app/model/evenRamp.ts';
import { blockBox, blockPlace, goTo, grinWords, percent, scaleOf, viewOf } from '#app/model/grinPlaces.ts';
import { sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import { type GrinReading, grinAt, worstBlock, worstGrin } from '#engine/packing/far/grinReading.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { Choice } from './Choice.tsx';

/** Where the cloth shows yarn that the draft hides there: figures, and a map in the draft's order, first pick lowest. */
export function GrinMap() {
  const { forecast, ui } = useTable();
  const { grin, result, resultCloth } = useStore(forecast.state);
  const pose = useTableState((state) => state.pose);
  const [over, setOver] = useState<'now' | 'worst'>('now');
  const [pointed, setPointed] = useState<number | undefined>();
  const side = sideOf(pose);
  const { yawRad, pitchRad } = pose;
  const reading = useMemo(() => {
    if (!grin) return undefined;
    return over === 'now' ? grinAt(grin, viewOf({ yawRad, pitchRad })) : worstGrin(grin, side);
  }, [grin, over, yawRad, pitchRad, side]);
  if (!grin || !reading || !result || !resultCloth) return null;
  const worst = worstBlock(reading);
  const told = pointed !== undefined && pointed < reading.share.length ? pointed : worst;
  const place = (block: number) => blockPlace(grin, block, result.packed, resultCloth.problem.rowPick);
  const words = (block: number) => `${place(block)}: ${grinWords(reading.share[block], reading.degrees[block])}`;

  /** Marks the place on the cloth and goes there. */
  function go(block: number): void {
    if (!grin || !result) return;
    const box = blockBox(grin, block, result.packed, result.geometry, ui.getState().pose);
    ui.getState().moveBy((now, size) => goTo(now, size, box));
    ui.getState().mark(box);
  }

  return (
    <section className="grin" aria-label="Grin-through">
      <h3>{`Grin-through, ${side}`}</h3>
      <Choice
        name="Seen"
        value={over}
        options={[
          ['now', 'as turned now'],
          ['worst', 'at the worst turn'],
        ]}
        onChoose={(value) => setOver(value)}
      />
      <dl>
        <div>
          <dt>Yarn that shows where another should cover it</dt>
          <dd>{grinWords(reading.mean, reading.meanDegrees)}</dd>
        </div>
      </dl>
      <GrinCanvas
        grin={grin}
        tall={tallness(grin, result.geometry)}
        reading={reading}
        pointed={pointed}
        onPoint={setPointed}
        onGo={go}
        words={words}
      />
      <Scale {...scaleOf(reading)} />
      <p className="grin-place">
        {reading.share[worst] === 0 ? (
          'None anywhere.'
        ) : (
          <>
            <span className="soft">{told === worst ? 'Most: ' : 'Here: '}</span>
            <output>{words(told)}</output>
          </>
        )}
      </p>
    </section>
  );
}

/** Of the crossings that are mapped, as they lie in the cloth. */
function tallness({ lines, ends }: GrinTable, { endXMm, rowYMm }: ForecastResult['geometry']): number {
  const pitch = (at: ArrayLike<number>) => Math.abs(at[at.length - 1] - at[0]) / Math.max(1, at.length - 1);
  return (lines * pitch(rowYMm)) / (ends * pitch(endXMm) || 1);
}

interface GrinCanvasProps {
  readonly grin: GrinTable;
  /** Height over width. */
  readonly tall: number;
  readonly reading: GrinReading;
  readonly pointed: number | undefined;
  onPoint(block: number | undefined): void;
  /** Asked to be shown this place on the cloth. */
  onGo(block: number): void;
  words(block: number): string;
}

/** Shades of the map, of which the eye tells no two neighbours apart. */
const SHADES = 64;
/** Height over width of a map: a cloth is drawn in its own proportions, but no taller or flatter. */
const MOST_TALL = 1.3;
const LEAST_TALL = 0.25;

function GrinCanvas({ grin, tall, reading, pointed, onPoint, onGo, words }: GrinCanvasProps) {
  const { blocksAcross, blocksUp, lines, ends, linesPerBlock, endsPerBlock } = grin;
  const { from, to } = scaleOf(reading);
  const canvasRef = useCanvas((context, widthPx, heightPx) => {
    const ramp = evenRamp(...GRIN_RAMP, SHADES);
    // Block edges in px; the last blocks hold fewer crossings.
    const x = (k: number) => Math.round((Math.min(k * endsPerBlock, ends) / ends) * widthPx);
    const y = (k: number) => Math.round(heightPx - (Math.min(k * linesPerBlock, lines) / lines) * heightPx);
    for (let up = 0; up < blocksUp; up++) {
      for (let across = 0; across < blocksAcross; across++) {
        const part = (reading.share[up * blocksAcross + across] - from) / (to - from);
        const shade = 3 * Math.round(Math.min(1, Math.max(0, part)) * (SHADES - 1));
        context.fillStyle = `rgb(${ramp[shade]} ${ramp[shade + 1]} ${ramp[shade + 2]})`;
        context.fillRect(x(across), y(up + 1), x(across + 1) - x(across), y(up) - y(up + 1));
      }
    }
    if (pointed === undefined) return;
    const across = pointed % blocksAcross;
    const up = Math.floor(pointed / blocksAcross);
    // Seen on any shade: white with black about it.
    for (const [colour, width] of [
      ['#000', 4],
      ['#fff', 2],
    ] as const) {
      context.strokeStyle = colour;
      context.lineWidth = width;
      context.strokeRect(x(across), y(up + 1), x(across + 1) - x(across), y(up) - y(up + 1));
    }
  });

  function blockAt(event: MouseEvent<HTMLElement>): number {
    const { left, top, width, height } = event.currentTarget.getBoundingClientRect();
    const across = Math.floor((((event.clientX - left) / width) * ends) / endsPerBlock);
    const up = Math.floor(((1 - (event.clientY - top) / height) * lines) / linesPerBlock);
    return clamp(up, blocksUp) * blocksAcross + clamp(across, blocksAcross);
  }

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    const across = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    const up = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    const now = pointed ?? worstBlock(reading);
    if (event.key === 'Home') onPoint(worstBlock(reading));
    else if (event.key === 'Enter' || event.key === ' ') onGo(now);
    else if (across !== 0 || up !== 0) {
      const nextUp = clamp(Math.floor(now / blocksAcross) + up, blocksUp);
      onPoint(nextUp * blocksAcross + clamp((now % blocksAcross) + across, blocksAcross));
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }

  return (
    <div
      className="grin-map"
      role="application"
      aria-roledescription="map"
      aria-label={`Map of grin-through. Arrows go from place to place, Home to the most, Enter goes to the place. ${words(pointed ?? worstBlock(reading))}`}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: places on the map are told by keys
      tabIndex={0}
      style={{ aspectRatio: `1 / ${Math.min(MOST_TALL, Math.max(LEAST_TALL, tall))}` }}
      title="A click shows the place on the cloth"
      onPointerMove={(event) => onPoint(blockAt(event))}
      onPointerDown={(event) => onPoint(blockAt(event))}
      onClick={(event) => onGo(blockAt(event))}
      onPointerLeave={() => onPoint(undefined)}
      onBlur={() => onPoint(undefined)}
      onKeyDown={onKeyDown}
    >
      <canvas ref={canvasRef} />
    </div>
  );
}

function Scale({ from, to }: { readonly from: number; readonly to: number }) {
  return (
    <p className="grin-scale">
      <span>{percent(from)}</span>
      <span
        className="grin-ramp"
        aria-hidden="true"
        style={{ background: `linear-gradient(to right in oklab, ${GRIN_RAMP.join(', ')})` }}
      />
      <span>{percent(to)}</span>
    </p>
  );
}

function clamp(value: number, count: number): number {
  return Math.min(Math.max(value, 0), count - 1);
}
