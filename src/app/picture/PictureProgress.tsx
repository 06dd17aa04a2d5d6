import { useEffect } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import { formatNumber } from '#app/words/numbers.ts';
import type { PictureDrawing } from './pictureWork.ts';

/** Longer side of a picture shown as far as it has come. */
const SO_FAR_PX = 180;

/**
 * How far a picture under way has come. It stands where messages do, in a line whose height is there anyway: nothing
 * about the cloth moves as it comes and goes.
 */
export function PictureProgress() {
  const { pictures } = useTable();
  const drawing = useStore(pictures.state, (state) => state.drawing);
  useEffect(() => () => pictures.stop(), [pictures]);
  if (!drawing) return null;
  return (
    <div className="picture-progress">
      {drawing.shown && <SoFar {...drawing.shown} />}
      <label className="soft">
        Drawing the picture <progress value={drawing.share > 0 ? drawing.share : undefined} max={1} />
      </label>
      <span className="picture-share" aria-hidden="true">
        {formatNumber(100 * drawing.share)} %
      </span>
      <button type="button" onClick={() => pictures.stop()}>
        Stop
      </button>
    </div>
  );
}

/** A traced picture takes minutes: what is there by now, small, over the cloth's lower edge. */
function SoFar({ sheet }: NonNullable<PictureDrawing['shown']>) {
  const canvasRef = useCanvas((context, widthPx, heightPx) => {
    context.clearRect(0, 0, widthPx, heightPx);
    context.drawImage(sheet, 0, 0, widthPx, heightPx);
  });
  const side = SO_FAR_PX / Math.max(sheet.width, sheet.height);
  return (
    <canvas
      ref={canvasRef}
      className="picture-so-far"
      role="img"
      aria-label="The picture as far as it has come"
      style={{ width: sheet.width * side, height: sheet.height * side }}
    />
  );
}
