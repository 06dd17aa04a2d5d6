import { type KeyboardEvent, type PointerEvent, useEffect, useRef, useState } from 'react';
import type { Patch, Photograph } from '#engine/colour/photograph.ts';
import { patchAbout, patchBetween, patchByKey } from './patches.ts';

export type PatchName = 'card' | 'yarn';

export const patchTitles: Readonly<Record<PatchName, string>> = { card: 'Grey card', yarn: 'Yarn' };

export interface PhotographStageProps {
  readonly photograph: Photograph;
  readonly patches: Readonly<Record<PatchName, Patch>>;
  /** Which one the pointer marks. */
  readonly marking: PatchName;
  readonly onMark: (name: PatchName, patch: Patch) => void;
  /** A click or drag has ended. */
  readonly onMarked: () => void;
}

/** Pointer movement below which a drag was a click, px. */
const clickPx = 5;
/** Width at which the picture is drawn, px: twice the shelf's. */
const shownWidth = 640;

/** A photograph with its two patches: click or drag marks one; each can be reached and moved by keys. */
export function PhotographStage({ photograph, patches, marking, onMark, onMarked }: PhotographStageProps) {
  const stageRef = useRef<HTMLDivElement>(null);
  const canvasRef = useRef<HTMLCanvasElement>(null);
  const [from, setFrom] = useState<{ readonly x: number; readonly y: number }>();
  const { width, height } = photograph;
  const shownHeight = Math.max(1, Math.round((shownWidth * height) / width));

  useEffect(() => {
    const context = canvasRef.current?.getContext('2d');
    if (!context) return;
    const whole = new OffscreenCanvas(photograph.width, photograph.height);
    const pixels = photograph.pixels as Uint8ClampedArray<ArrayBuffer>;
    whole.getContext('2d')?.putImageData(new ImageData(pixels, photograph.width), 0, 0);
    context.imageSmoothingQuality = 'high';
    context.drawImage(whole, 0, 0, context.canvas.width, context.canvas.height);
  }, [photograph]);

  function placeOf(event: PointerEvent): { readonly x: number; readonly y: number; readonly perPx: number } {
    const box = stageRef.current!.getBoundingClientRect();
    const perPx = width / box.width;
    return { x: (event.clientX - box.left) * perPx, y: (event.clientY - box.top) * perPx, perPx };
  }

  function mark(event: PointerEvent): void {
    if (!from) return;
    const { x, y, perPx } = placeOf(event);
    const clicked = Math.hypot(x - from.x, y - from.y) < clickPx * perPx;
    onMark(marking, clicked ? patchAbout(photograph, x, y) : patchBetween(photograph, from.x, from.y, x, y));
  }

  function onKey(event: KeyboardEvent, name: PatchName): void {
    const moved = patchByKey(photograph, patches[name], event.key, event.shiftKey);
    if (!moved) return;
    event.preventDefault();
    event.stopPropagation();
    onMark(name, moved);
  }

  return (
    <div
      ref={stageRef}
      className="photograph-stage"
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        setFrom(placeOf(event));
      }}
      onPointerMove={mark}
      onPointerUp={(event) => {
        mark(event);
        setFrom(undefined);
        if (from) onMarked();
      }}
      onPointerCancel={() => setFrom(undefined)}
    >
      <canvas ref={canvasRef} width={shownWidth} height={shownHeight} role="img" aria-label="The photograph" />
      {(['card', 'yarn'] as const).map((name) => {
        const { x, y, width: w, height: h } = patches[name];
        const percent = (part: number, whole: number) => `${(100 * part) / whole}%`;
        return (
          <button
            key={name}
            type="button"
            className="photograph-patch"
            aria-label={`${patchTitles[name]} patch, ${w} by ${h} pixels at ${x}, ${y}. Arrows move it, Shift and arrows resize it, Enter marks it here.`}
            data-marking={name === marking}
            style={{
              left: percent(x, width),
              top: percent(y, height),
              width: percent(w, width),
              height: percent(h, height),
            }}
            onKeyDown={(event) => onKey(event, name)}
            onClick={(event) => {
              // By keys: a pointer marks through the picture.
              if (event.detail === 0) onMark(name, patches[name]);
            }}
          >
            <span>{patchTitles[name]}</span>
          </button>
        );
      })}
    </div>
  );
}
