import type { ReactNode } from 'react';
import { useClothThreads } from '#app/model/clothThreads.ts';
import { type DropAim, dropAim } from '#app/model/dropRange.ts';
import { paneAt, poseIn } from '#app/model/panes.ts';
import { clothPointAt } from '#app/model/pose.ts';
import { ribbonPx } from '#app/model/ribbonScale.ts';
import { pickRange, rowRange, selectedPickRange } from '#app/model/rowsOfPicks.ts';
import { useTable } from '#app/model/tableContext.ts';
import { type DropPlace, YarnDrop } from '#app/table/YarnDrop.tsx';

/** A yarn dropped on the cloth itself weaves the picks it falls on, as if dropped on them in the ribbon. */
export function ClothDrop({ children }: { readonly children: ReactNode }) {
  const table = useTable();
  const threads = useClothThreads();

  function aimAt(place: DropPlace): DropAim | undefined {
    const { pose, size, selection, panes } = table.ui.getState();
    const pane = paneAt(panes, place.xPx, place.yPx);
    // What is dropped on a version beside the sample would change what is not on the table.
    if (!threads || pane.cloth !== 0) return undefined;
    const { problem } = threads.cloth;
    const picks = selectedPickRange(selection, problem);
    const rows = picks && rowRange(problem.rowPick, picks);
    const point = clothPointAt(poseIn(pane, pose), size, place.xPx - pane.frame.xPx, place.yPx - pane.frame.yPx);
    if (!point) return undefined;
    const alongPx = ribbonPx(point.yMm, 'picks', pose, size);
    return dropAim(threads.rows, 'picks', pose, size, rows, alongPx, undefined);
  }

  return (
    <YarnDrop
      className="cloth-drop"
      onYarn={(yarnId, place) => {
        const aim = aimAt(place);
        if (!aim || !threads) return;
        const { problem } = threads.cloth;
        const replacing = aim.replacing === undefined ? undefined : problem.yarns[aim.replacing].strands[0];
        table.weaveWith(yarnId, 'picks', pickRange(problem.rowPick, aim.range), replacing);
      }}
    >
      {children}
    </YarnDrop>
  );
}
