import { useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { addTreatment, moveTreatment, removeTreatment } from '#document/commands/afterLoomCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { yarnUse } from '#document/commands/yarnCommands.ts';
import type { Treatment, TreatmentKind } from '#document/schema/afterLoomSchema.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { BendReport } from '#engine/cloth/after/afterTypes.ts';
import type { LaidLeaf } from '#engine/packing/packedCloth.ts';
import type { CutShown } from './cutWords.ts';
import { newTreatment, treatmentNames } from './newTreatment.ts';
import { TreatmentItem } from './TreatmentItem.tsx';

/** What is done to the cloth once it is off the loom, in order; each with what it does to these yarns and what to mind. */
export default function AfterLoomPanel() {
  const { samples, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const dialect = useTableState((state) => state.preferences.dialect);
  const yarns = useYarnsWoven(sample);
  const listRef = useRef<HTMLOListElement>(null);
  const [said, setSaid] = useState('');
  const reports = useCutReports();
  const bends = useBendReports();
  const leaves = useLeaves(sample);
  const treatments = sample.afterLoom ?? [];

  /** Does it, says so where it is heard, and gives the focus to the treatment it belongs to now. */
  function act(command: Command, words: string, place?: number) {
    // Shown at once, so that the focus moves before the next key can be pressed.
    const refusal = flushSync(() => samples.dispatch(command));
    if (refusal) ui.getState().say(refusal.message);
    else setSaid(words);
    const button = place === undefined ? undefined : `li:nth-child(${place}) .treatment-head`;
    if (button) listRef.current?.querySelector<HTMLElement>(button)?.focus();
  }

  function add(kind: TreatmentKind) {
    act(addTreatment(newTreatment(kind, sample)), 'Added as the last.', treatments.length + 1);
  }

  return (
    <div className="after-loom">
      <div className="after-add">
        <p>
          {treatments.length === 0
            ? 'Nothing is done to the cloth yet. Add what you mean to do, in the order in which you do it:'
            : 'Done in this order; add:'}
        </p>
        {treatmentNames.map(([kind, words]) => (
          <button key={kind} type="button" onClick={() => add(kind)}>
            {words}
          </button>
        ))}
        <p className="out-of-sight" role="status">
          {said}
        </p>
      </div>
      <ol ref={listRef} className="treatments">
        {treatments.map((treatment, k) => (
          <TreatmentItem
            key={k}
            treatment={treatment}
            place={k + 1}
            count={treatments.length}
            yarns={yarns}
            cut={reports.get(treatment)}
            bent={bends.get(treatment)}
            leaf={treatment.kind === 'foil' ? leaves.get(treatment) : undefined}
            dialect={dialect}
            onMove={(to) => act(moveTreatment({ place: k + 1, to }), `Now number ${to}.`, to)}
            onRemove={() =>
              act(removeTreatment(k + 1), 'Left out.', Math.min(k + 1, treatments.length - 1) || undefined)
            }
          />
        ))}
      </ol>
    </div>
  );
}

/** What the newest cloth says of each clipping and cut, by treatment; those changed since have none yet. */
function useCutReports(): ReadonlyMap<Treatment, CutShown> {
  const { forecast } = useTable();
  const result = useStore(forecast.state, (state) => state.result);
  const cuttings = useStore(forecast.state, (state) => state.resultCloth?.cuttings);
  return useMemo(() => {
    const cut = result?.cut;
    const shown = new Map<Treatment, CutShown>();
    if (cut) cuttings?.forEach((cutting, k) => void shown.set(cutting as Treatment, { report: cut.reports[k], cut }));
    return shown;
  }, [result, cuttings]);
}

/** What the newest cloth says of each bend, by treatment. */
function useBendReports(): ReadonlyMap<Treatment, BendReport> {
  const { forecast } = useTable();
  const reports = useStore(forecast.state, (state) => state.result?.bends);
  const bends = useStore(forecast.state, (state) => state.resultCloth?.bends);
  return useMemo(
    () => new Map(bends?.flatMap((bend, k) => (reports?.[k] ? [[bend as Treatment, reports[k]]] : []))),
    [reports, bends],
  );
}

/** Leaf as it lies on the newest cloth; of several on a side only the last is seen. */
function useLeaves({ afterLoom }: SampleBody): ReadonlyMap<Treatment, LaidLeaf> {
  const { forecast } = useTable();
  const laid = useStore(forecast.state, (state) => state.result?.packed.leaf);
  return useMemo(() => {
    const shown = new Map<Treatment, LaidLeaf>();
    for (const side of ['face', 'back'] as const) {
      const last = afterLoom?.findLast((treatment) => treatment.kind === 'foil' && treatment.side === side);
      const leaf = laid?.[side];
      if (last && leaf) shown.set(last, leaf);
    }
    return shown;
  }, [laid, afterLoom]);
}

/** The sample's yarns that lie in the cloth. */
function useYarnsWoven(sample: SampleBody): readonly YarnCard[] {
  const { warp, picks, yarns } = sample;
  return useMemo(() => {
    const body = { warp, picks, yarns } as SampleBody;
    return Object.values(yarns).filter((card) => yarnUse(body, card.id) !== null);
  }, [warp, picks, yarns]);
}
