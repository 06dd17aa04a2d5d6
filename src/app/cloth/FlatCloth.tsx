import { useMemo } from 'react';
import { useStore } from 'zustand';
import { drawdownImage, rgbOf } from '#app/draft/paintDrawdown.ts';
import type { Side } from '#app/model/pose.ts';
import { useTable } from '#app/model/tableContext.ts';
import { useCanvas } from '#app/model/useCanvas.ts';

/** The drawdown in the colours of its threads: which thread lies uppermost, without thickness, light or relief. */
export function FlatCloth({ side }: { readonly side: Side }) {
  const { forecast } = useTable();
  const cloth = useStore(forecast.state, (state) => state.cloth);
  const image = useMemo(() => {
    if (!cloth) return undefined;
    const { problem } = cloth;
    const rgbOfYarn = cloth.coloursOf.map((colours) => rgbOf(colours[0]));
    const picture = drawdownImage(
      {
        drawdown: problem.drawdown,
        endRgb: Array.from(problem.endYarn, (yarn) => rgbOfYarn[yarn]),
        rowRgb: Array.from(problem.rowYarn, (yarn) => rgbOfYarn[yarn]),
        rowFirst: problem.rowFirst,
        rowLast: problem.rowLast,
      },
      side,
    );
    const canvas = document.createElement('canvas');
    canvas.width = picture.width;
    canvas.height = picture.height;
    canvas.getContext('2d')?.putImageData(picture, 0, 0);
    return canvas;
  }, [cloth, side]);

  const canvasRef = useCanvas((context, widthPx, heightPx) => {
    context.clearRect(0, 0, widthPx, heightPx);
    if (!image) return;
    const scale = Math.min(widthPx / image.width, heightPx / image.height) * 0.9;
    const width = image.width * scale;
    const height = image.height * scale;
    context.imageSmoothingEnabled = scale < 2;
    context.drawImage(image, (widthPx - width) / 2, (heightPx - height) / 2, width, height);
  });
  return <canvas ref={canvasRef} className="flat-cloth" />;
}
