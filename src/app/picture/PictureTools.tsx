import { lazy, Suspense } from 'react';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { usePictureDrawing } from './usePictureDrawing.ts';

const PictureDialog = lazy(() => import('./PictureDialog.tsx'));

/** Asks for a picture to save and, while it is drawn, tells how far it has come. The table stays in use meanwhile. */
export function PictureTools() {
  const { ui } = useTable();
  const shown = useTableState((state) => state.pictureShown);
  const work = usePictureDrawing();
  const { drawing } = work;
  return (
    <>
      <button
        type="button"
        aria-haspopup="dialog"
        aria-keyshortcuts="P"
        onClick={() => ui.getState().showPicture(true)}
      >
        Picture… <kbd>P</kbd>
      </button>
      {drawing && (
        <span className="picture-progress">
          <label className="soft">
            Drawing the picture <progress value={drawing.share} max={1} />
          </label>
          <span aria-hidden="true"> {formatNumber(100 * drawing.share)} %</span>{' '}
          <button type="button" onClick={work.stop}>
            Stop
          </button>
        </span>
      )}
      {shown && (
        <Suspense>
          <PictureDialog work={work} />
        </Suspense>
      )}
    </>
  );
}
