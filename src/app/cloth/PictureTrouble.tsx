import { useState } from 'react';
import { useTableState } from '#app/model/tableContext.ts';

/** Why there is no picture in the round; beside the panel, whose hands it keeps off. */
export function PictureTrouble() {
  const picture = useTableState((state) => state.picture);
  const trouble = useTableState((state) => state.pictureTrouble);
  const [read, setRead] = useState(false);
  if (picture === 'lost') {
    return (
      <div className="panel-message">
        <p role="alert">
          The graphics driver took the picture away. Nothing of the sample is lost; the picture comes back by itself.
        </p>
      </div>
    );
  }
  if (picture !== 'impossible' || read) return null;
  return (
    <div className="panel-message">
      <p role="alert">
        {`${trouble} Its threads are shown flat instead, where they lie: without thickness, light, or what the eye loses from afar.`}
      </p>
      <button type="button" onClick={() => setRead(true)}>
        Close
      </button>
    </div>
  );
}
