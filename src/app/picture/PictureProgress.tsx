import { useEffect } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';

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
      <label className="soft">
        Drawing the picture <progress value={drawing.share} max={1} />
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
