import { useMemo } from 'react';
import { useStore } from 'zustand';
import { rowRange, selectedPickRange } from '#app/model/rowsOfPicks.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { loomWords } from '#app/table/loomWords.ts';
import { word } from '#app/words/words.ts';
import { DraftSheetView } from './DraftSheetView.tsx';
import { draftSheet } from './draftSheet.ts';
import { placeSeen } from './placeSeen.ts';

/** The draft as it stands, to be read; it slides up from under the cloth. */
export default function DraftDrawer() {
  const { samples, forecast, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const cloth = useStore(forecast.state, (state) => state.cloth);
  const dialect = useTableState((state) => state.preferences.dialect);
  const selection = useTableState((state) => state.selection);
  const sheet = useMemo(() => (cloth ? draftSheet(sample, cloth) : undefined), [sample, cloth]);
  if (!sheet || !cloth) return <p className="soft">No draft can be drawn until the sample is right.</p>;
  const { problem } = cloth;
  const picks = selectedPickRange(selection, problem);
  const marks = {
    rows: picks && rowRange(problem.rowPick, picks),
    ends: selection?.kind === 'ends' ? selection.range : undefined,
  };
  const choose = (kind: 'picks' | 'ends', index: number) => {
    ui.getState().select({ kind, range: { from: index, to: index } });
    ui.getState().setCursor(kind, index);
  };
  const plan = sheet.tieUp ? 'treadling' : word('liftPlan', dialect);
  return (
    <DraftSheetView
      sheet={sheet}
      marks={marks}
      seen={() => {
        const geometry = forecast.state.getState().result?.geometry;
        const fits = geometry && geometry.rows === problem.rows && geometry.ends === problem.ends;
        return placeSeen(ui.getState(), problem, fits ? geometry : undefined);
      }}
      onRow={(row) => choose('picks', problem.rowPick[row])}
      onEnd={(end) => choose('ends', end)}
      words={`${loomWords(sample.loom)}. Threading above, ${plan} to the right, first pick lowest; filled squares are warp up. A click chooses a pick or an end.`}
    />
  );
}
