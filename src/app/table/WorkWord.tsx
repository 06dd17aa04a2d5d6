import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { Progress } from '#engine/cloth/clothTypes.ts';

const stageWords: Record<Progress['stage'], string> = {
  spacing: 'placing the picks',
  states: 'width and length',
  heights: 'bending the yarns',
  sections: 'pressing the yarns',
  readings: 'taking the readings',
  packing: 'laying it out',
};

/** What is being worked out just now, in a corner of the cloth; nothing once all is settled. */
export function WorkWord() {
  const { forecast } = useTable();
  const status = useStore(forecast.state, (state) => state.status);
  const progress = useStore(forecast.state, (state) => state.progress);
  const trouble = useStore(forecast.state, (state) => state.trouble);
  const picture = useTableState((state) => state.picture);
  if (status === 'failed' && trouble) {
    return (
      <p className="work-word trouble" role="alert">
        {`No forecast (${trouble.where}): ${trouble.why}`}
      </p>
    );
  }
  const working = status === 'working' || status === 'preview';
  const words = working
    ? `Working: ${progress ? stageWords[progress.stage] : 'starting'}`
    : picture === 'drawing' || picture === 'starting'
      ? 'Drawing'
      : '';
  return (
    <p className="work-word" role="status">
      {words}
    </p>
  );
}
