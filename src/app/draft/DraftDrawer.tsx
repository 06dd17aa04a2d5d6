import { useMemo } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { loomWords } from '#app/table/loomWords.ts';
import { word } from '#app/words/words.ts';
import { DraftSheetView } from './DraftSheetView.tsx';
import { draftSheet } from './draftSheet.ts';

/** The draft as it stands, to be read; it slides up from under the cloth. */
export default function DraftDrawer() {
  const { samples, forecast } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const cloth = useStore(forecast.state, (state) => state.cloth);
  const dialect = useTableState((state) => state.preferences.dialect);
  const sheet = useMemo(() => (cloth ? draftSheet(sample, cloth) : undefined), [sample, cloth]);
  if (!sheet) return <p className="soft">No draft can be drawn until the sample is right.</p>;
  const plan = sheet.tieUp ? 'treadling' : word('liftPlan', dialect);
  return (
    <DraftSheetView
      sheet={sheet}
      words={`${loomWords(sample.loom)}. Threading above, ${plan} to the right, first pick lowest; filled squares are warp up.`}
    />
  );
}
