import { useEffect, useMemo, useRef } from 'react';
import { drawdownImage, rgbOf } from '#app/draft/paintDrawdown.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { toldApart } from './toldApart.ts';

export interface SwatchProps {
  readonly drawdown: Drawdown;
  /** Of each end; begun again where the drawdown has more. */
  readonly endColours: readonly string[];
  /** Of each pick shown, first pick first; begun again where more are shown. */
  readonly pickColours: readonly string[];
  /** Crossings shown each way. */
  readonly threads?: number;
  readonly sidePx?: number;
  readonly label?: string;
}

/** A structure in flat colour, one square a crossing, the first pick lowest. */
export function Swatch({ drawdown, endColours, pickColours, threads = 28, sidePx = 84, label }: SwatchProps) {
  const canvasRef = useRef<HTMLCanvasElement>(null);
  const seen = useMemo(() => toldApart(endColours, pickColours), [endColours, pickColours]);
  useEffect(() => {
    const context = canvasRef.current?.getContext('2d');
    if (!context || endColours.length === 0) return;
    const shown = tile(drawdown, threads, threads);
    const image = drawdownImage(
      {
        drawdown: shown,
        endRgb: Array.from({ length: threads }, (_, end) => rgbOf(endColours[end % endColours.length])),
        rowRgb: Array.from({ length: threads }, (_, row) => rgbOf(seen.pickColours[row % seen.pickColours.length])),
        rowFirst: new Uint32Array(threads),
        rowLast: new Uint32Array(threads).fill(threads - 1),
      },
      'face',
    );
    context.putImageData(image, 0, 0);
  }, [drawdown, endColours, seen, threads]);
  const shaded = seen.shaded ? 'Warp and weft are nearly one colour: the weft is drawn apart from it' : undefined;
  return (
    <canvas
      ref={canvasRef}
      title={shaded}
      className="weave-swatch"
      width={threads}
      height={threads}
      style={{ width: sidePx, height: sidePx }}
      role={label ? 'img' : undefined}
      aria-label={label && shaded ? `${label}. ${shaded}.` : label}
      aria-hidden={label ? undefined : true}
    />
  );
}
