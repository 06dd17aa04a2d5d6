import { useState } from 'react';
import type { ClothThreads } from '#app/model/clothThreads.ts';
import { dropAim } from '#app/model/dropRange.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { ThreadRange } from '#app/model/tableState.ts';
import { Ribbon } from './Ribbon.tsx';
import { YarnDrop } from './YarnDrop.tsx';

/** The ends above the cloth, where the warp comes from. */
export function WarpEdge({ threads }: { readonly threads: ClothThreads }) {
  const table = useTable();
  const { ui } = table;
  const pose = useTableState((state) => state.pose);
  const size = useTableState((state) => state.size);
  const selection = useTableState((state) => state.selection);
  const cursorEnd = useTableState((state) => state.cursorEnd);
  const chosenYarnId = useTableState((state) => state.chosenYarnId);
  const [dropAt, setDropAt] = useState<ThreadRange | undefined>(undefined);
  const ends = threads.ends.positionsMm.length;
  const selected =
    selection?.kind === 'ends' && selection.range.from < ends
      ? { from: selection.range.from, to: Math.min(selection.range.to, ends - 1) }
      : undefined;

  // Aimed at ends, a stripe is taken whole: the warp's order has no exchange of one yarn among several.
  const aimAt = (xPx: number) => dropAim(threads.ends, 'ends', pose, size, selected, xPx, 0)?.range;

  return (
    <YarnDrop
      className="ribbon-drop"
      onOver={(place) => setDropAt(place && aimAt(place.xPx))}
      onYarn={(yarnId, place) => {
        const range = aimAt(place.xPx);
        if (range) table.weaveWith(yarnId, 'ends', range);
      }}
    >
      <Ribbon
        axis="ends"
        label="Ends, from the left of the face"
        threadWord="End"
        threads={threads.ends}
        pose={pose}
        size={size}
        selected={selected}
        cursor={Math.min(cursorEnd, ends - 1)}
        dropAt={dropAt}
        onSelect={(range, cursor) => {
          ui.getState().select(range && { kind: 'ends', range });
          ui.getState().setCursor('ends', cursor);
        }}
        onUseYarn={() => {
          if (selected && chosenYarnId) table.weaveWith(chosenYarnId, 'ends', selected);
        }}
      />
    </YarnDrop>
  );
}
