import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { rowRange, selectedPickRange } from '#app/model/rowsOfPicks.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { loomWords } from '#app/table/loomWords.ts';
import { word } from '#app/words/words.ts';
import { spanInWords } from '#document/commands/command.ts';
import { rearrangeEnds, rearrangePicks } from '#document/commands/draftCommands.ts';
import { repeatEnds, takeOutEnds } from '#document/commands/endCommands.ts';
import { copyPicks, deletePicks } from '#document/commands/pickCommands.ts';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import { changeArea, cutArea, type DraftArea, layArea } from '#engine/draft/area.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { listPresets, readWeavePreset } from '#io/presets.ts';
import { conventionWords, drawnDrawdown, drawnSheet, sheetPlaces } from './conventions.ts';
import { DraftSheetView } from './DraftSheetView.tsx';
import { AreaTools, ConventionTools, DraftOut, OrderTools, ToolChoice } from './DraftTools.tsx';
import type { DraftTool } from './draftCells.ts';
import { carryOut, markCells, weaveRows } from './draftEdits.ts';
import { draftSheet } from './draftSheet.ts';
import { placeSeen } from './placeSeen.ts';
import { tellCell } from './tellCell.ts';

const weaves = listPresets('weaves');

/** The paper draft, to be read and drawn on; it slides up from under the cloth. */
export default function DraftDrawer() {
  const table = useTable();
  const { samples, forecast, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const cloth = useStore(forecast.state, (state) => state.cloth);
  const { dialect, draft: conventions } = useTableState((state) => state.preferences);
  const selection = useTableState((state) => state.selection);
  const [tool, setTool] = useState<DraftTool>('choose');
  const [area, setArea] = useState<DraftArea | undefined>(undefined);
  const sheet = useMemo(() => (cloth ? draftSheet(sample, cloth) : undefined), [sample, cloth]);
  const drawn = useMemo(() => sheet && drawnSheet(sheet, conventions), [sheet, conventions]);
  if (!sheet || !drawn || !cloth) return <p className="soft">No draft can be drawn until the sample is right.</p>;
  const { problem } = cloth;
  const { rows, ends } = sheet.drawdown;
  const places = sheetPlaces(sheet, conventions);
  const mapped = (range: { from: number; to: number } | undefined, place: (at: number) => number) => {
    if (!range) return undefined;
    const [from, to] = [place(range.from), place(range.to)];
    return { from: Math.min(from, to), to: Math.max(from, to) };
  };
  const picks = selectedPickRange(selection, problem);
  const endRange = selection?.kind === 'ends' ? selection.range : undefined;
  const marks = {
    rows: mapped(picks && rowRange(problem.rowPick, picks), places.row),
    ends: mapped(endRange, places.end),
  };
  const choose = (kind: 'picks' | 'ends', index: number) => {
    ui.getState().select({ kind, range: { from: index, to: index } });
    ui.getState().setCursor(kind, index);
  };
  const areaThere = area && area.toEnd < ends && area.toRow < rows ? area : undefined;

  /** The sheet's drawdown as drawn, changed, back in the sample's own order, woven where the area is. */
  function weaveArea(changed: Drawdown, at: DraftArea, what: string): void {
    const own = drawnDrawdown(changed, conventions);
    const within = mapped({ from: at.fromRow, to: at.toRow }, places.row);
    if (sheet && within) weaveRows(table, sheet, own, within, what);
  }

  async function fill(at: DraftArea, id: string): Promise<void> {
    const card = await readWeavePreset(id);
    const weave = card.ok ? weaveDraft(card.value) : card;
    if (!weave.ok || !drawn) return;
    const { threading, liftPlan } = weave.value;
    weaveArea(
      layArea(drawn.drawdown, at, computeDrawdown(threading, liftPlan)),
      at,
      weaves.find((each) => each.id === id)?.name ?? id,
    );
  }

  const span = picks && { from: picks.from + 1, to: picks.to + 1 };
  const endSpan = endRange && { from: endRange.from + 1, to: endRange.to + 1 };
  const fixed = sample.warp.fixed === true;
  const plan = sheet.tieUp ? 'treadling' : word('liftPlan', dialect);
  return (
    <DraftSheetView
      sheet={drawn}
      marks={marks}
      seen={() => {
        const geometry = forecast.state.getState().result?.geometry;
        const fits = geometry && geometry.rows === rows && geometry.ends === ends;
        const at = placeSeen(ui.getState(), problem, fits ? geometry : undefined);
        return { end: places.end(at.end), row: places.row(at.row) };
      }}
      onRow={(row) => choose('picks', problem.rowPick[places.row(row)])}
      onEnd={(end) => choose('ends', places.end(end))}
      words={`${loomWords(sample.loom)}. ${conventionWords(conventions, sheet.tieUp !== undefined)} Threading above, ${plan} to the right.${
        fixed ? ` Drawn paler, the threading${sheet.tieUp ? ' and tie-up are' : ' is'} on the loom and fixed.` : ''
      }`}
      editing={{
        tool,
        area: areaThere,
        onArea: setArea,
        onMarks: (cells, on) => markCells(table, sheet, places, conventions, cells, on, tool),
        tell: (cell) => tellCell(drawn, sheet, places, cell),
      }}
      tools={
        <>
          <ToolChoice
            treadled={sample.loom.control.kind === 'treadles'}
            tool={tool}
            onTool={(next) => {
              setTool(next);
              if (next !== 'area') setArea(undefined);
            }}
          />
          {areaThere && (
            <AreaTools
              weaves={weaves}
              onFill={(id) => void fill(areaThere, id)}
              onChange={(change) =>
                weaveArea(
                  layArea(drawn.drawdown, areaThere, changeArea(cutArea(drawn.drawdown, areaThere), change)),
                  areaThere,
                  'the area anew',
                )
              }
            />
          )}
          {span && (
            <OrderTools
              what={spanInWords('pick', span)}
              onOrder={span.to > span.from ? (how) => carryOut(table, rearrangePicks({ picks: span, how })) : undefined}
              onAgain={() => carryOut(table, copyPicks({ picks: span, before: span.to + 1 }))}
              onTakeOut={() => carryOut(table, deletePicks(span))}
            />
          )}
          {endSpan && (
            <OrderTools
              what={spanInWords('end', endSpan)}
              refusedBecause={fixed ? 'The warp is on the loom and cannot change' : undefined}
              onOrder={
                endSpan.to > endSpan.from ? (how) => carryOut(table, rearrangeEnds({ ends: endSpan, how })) : undefined
              }
              onAgain={() => carryOut(table, repeatEnds({ ends: endSpan }))}
              onTakeOut={() => carryOut(table, takeOutEnds(endSpan))}
            />
          )}
          <DraftOut onDraft={() => table.saveDraft()} onDrawdown={() => table.saveDrawdown()} />
          <ConventionTools value={conventions} onChange={(draft) => ui.getState().prefer({ draft })} />
        </>
      }
    />
  );
}
