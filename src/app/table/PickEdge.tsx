import { useState } from 'react';
import { drawnBeatWords } from '#app/model/beatActions.ts';
import type { ClothThreads } from '#app/model/clothThreads.ts';
import { dropAim } from '#app/model/dropRange.ts';
import { pickRange, rowRange, selectedPickRange } from '#app/model/rowsOfPicks.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { ThreadRange } from '#app/model/tableState.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { BeatTrace } from './BeatTrace.tsx';
import { pickDeedOf, pickDeeds } from './pickKeys.ts';
import { Ribbon } from './Ribbon.tsx';
import { type DropPlace, YarnDrop } from './YarnDrop.tsx';

/** Where the band of threads lies across the ribbon, px from its outer edge: see `paintRibbon`. */
const bandFromPx = 36;
const bandInsetPx = 7;

/** The picks beside the cloth and their beat. */
export function PickEdge({ threads }: { readonly threads: ClothThreads }) {
  const table = useTable();
  const { samples, ui } = table;
  const pose = useTableState((state) => state.pose);
  const size = useTableState((state) => state.size);
  const selection = useTableState((state) => state.selection);
  const cursorPick = useTableState((state) => state.cursorPick);
  const chosenYarnId = useTableState((state) => state.chosenYarnId);
  const [dropAt, setDropAt] = useState<ThreadRange | undefined>(undefined);
  const { problem } = threads.cloth;
  const picks = problem.rowPick[problem.rows - 1] + 1;
  const selectedPicks = selectedPickRange(selection, problem);
  const selectedRows = selectedPicks && rowRange(problem.rowPick, selectedPicks);
  const cursorRow = rowRange(problem.rowPick, { from: cursorPick, to: cursorPick })?.from ?? 0;

  function aimAt(place: DropPlace) {
    const share = (place.xPx - bandFromPx) / (place.widthPx - bandFromPx - bandInsetPx);
    return dropAim(threads.rows, 'picks', pose, size, selectedRows, place.yPx, share);
  }

  function beat(range: ThreadRange, firmness: number) {
    const rounded = Math.round(firmness * 1000) / 1000;
    const refusal = samples.dispatch(setBeat({ picks: { from: range.from + 1, to: range.to + 1 }, firmness: rounded }));
    if (refusal) ui.getState().say(refusal.message);
  }

  return (
    <>
      <YarnDrop
        className="ribbon-drop"
        onOver={(place) => setDropAt(place && aimAt(place)?.range)}
        onYarn={(yarnId, place) => {
          const aim = aimAt(place);
          if (!aim) return;
          const replacing = aim.replacing === undefined ? undefined : problem.yarns[aim.replacing].strands[0];
          table.weaveWith(yarnId, 'picks', pickRange(problem.rowPick, aim.range), replacing);
        }}
      >
        <Ribbon
          axis="picks"
          label="Picks, first pick lowest"
          threadWord="Pick"
          threads={threads.rows}
          pose={pose}
          size={size}
          selected={selectedRows}
          cursor={cursorRow}
          dropAt={dropAt}
          onSelect={(range, cursor) => {
            ui.getState().select(range && { kind: 'picks', range: pickRange(problem.rowPick, range) });
            ui.getState().setCursor('picks', problem.rowPick[cursor]);
          }}
          onOwnKey={(event) => {
            const deed = pickDeedOf(event);
            if (deed) pickDeeds[deed](table);
            else if (event.key.toLowerCase() === 'm' && !event.ctrlKey && !event.metaKey)
              ui.getState().showPickMenu('button');
            else return false;
            return true;
          }}
          onMenu={(place) => ui.getState().showPickMenu(place)}
          onUseYarn={() => {
            if (selectedPicks && chosenYarnId) table.weaveWith(chosenYarnId, 'picks', selectedPicks);
          }}
        />
      </YarnDrop>
      <BeatTrace
        rowYMm={threads.rows.positionsMm}
        rowPick={problem.rowPick}
        firmness={problem.beat.firmness}
        pose={pose}
        size={size}
        selected={selectedPicks}
        cursor={Math.min(cursorPick, picks - 1)}
        onBegin={() => samples.begin('shape the beat')}
        onBeat={beat}
        onCommit={(drawn) => {
          samples.commit();
          if (drawn) ui.getState().say(drawnBeatWords(drawn));
        }}
        onHeld={(held) => ui.getState().holdBeat(held)}
        onCancel={() => samples.cancel()}
        onCursor={(pick) => {
          ui.getState().setCursor('picks', pick);
          ui.getState().select({ kind: 'picks', range: { from: pick, to: pick } });
        }}
      />
    </>
  );
}
