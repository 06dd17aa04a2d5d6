import { lazy, Suspense } from 'react';
import { useTable, useTableState } from '#app/model/tableContext.ts';

const PictureDialog = lazy(() => import('./PictureDialog.tsx'));

/** Asks for a picture to save. */
export function PictureTools() {
  const { ui } = useTable();
  const shown = useTableState((state) => state.pictureShown);
  return (
    <>
      <button
        type="button"
        aria-haspopup="dialog"
        aria-keyshortcuts="P"
        onClick={() => ui.getState().showPicture(true)}
      >
        Picture… <kbd aria-hidden>P</kbd>
      </button>
      {shown && (
        <Suspense>
          <PictureDialog />
        </Suspense>
      )}
    </>
  );
}
