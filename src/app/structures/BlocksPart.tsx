import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { layersOf } from '#engine/weave/layers.ts';
import {
  type Arrangement,
  arrangePlan,
  type BlockDraft,
  blockDraft,
  mergesThatFit,
} from '#engine/weave/structures/blockDraft.ts';
import { blockStarts, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { type Structure, simple } from '#engine/weave/structures/structureTypes.ts';
import { BlockGrid } from './BlockGrid.tsx';
import { standingWords, useLibrary } from './library.ts';
import { Swatch } from './Swatch.tsx';
import { endColours, usualWefts } from './wefts.ts';

const arrangements: readonly Arrangement[] = ['once', 'repeated', 'facing', 'staggered'];
const MOST_BLOCKS = 24;
const begun: readonly (readonly number[])[] = [
  [0, 1],
  [1, 0],
];

/** Figures in blocks: a plan, a structure for each of its two states, and the draft that comes of it. */
export function BlocksPart() {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const selection = useTableState((state) => state.selection);
  const weaves = useLibrary();
  const [plan, setPlan] = useState(begun);
  const [states, setStates] = useState<readonly string[]>(['double-plain', 'double-plain-exchanged']);
  const [arrangement, setArrangement] = useState<Arrangement>('repeated');
  const [ends, setEnds] = useState(24);
  const [picks, setPicks] = useState(24);
  const [asDrawn, setAsDrawn] = useState(true);
  const { loom, warp } = sample;
  const warped = useMemo(() => warpedLoomOf({ loom, warp }), [loom, warp]);
  const starts = useMemo(() => blockStarts(warped), [warped]);
  const colours = useMemo(() => endColours(sample), [sample]);
  const structures = useMemo(
    () => states.flatMap((id) => weaves?.filter(({ card }) => card.id === id).map(({ structure }) => structure) ?? []),
    [states, weaves],
  );
  const outcome = useMemo(() => {
    if (structures.length < states.length) return undefined;
    const drawn = asDrawn && starts.length > 1;
    const arranged = arrangePlan(plan, arrangement);
    // Over the blocks as they are drawn in, the plan is begun again until the warp is full.
    const laid = drawn ? arranged.map((row) => starts.map((_, k) => row[k % row.length])) : arranged;
    const blockEnds = drawn
      ? starts.map((start, k) => (starts[k + 1] ?? warped.threading.length) - (k === 0 ? 0 : start))
      : ends;
    const request = {
      plan: laid,
      structures: structures.map(({ drawdown }) => drawdown),
      blockEnds,
      blockPicks: picks,
      shafts: loom.shafts,
    };
    try {
      const draft = blockDraft(request);
      const structure: Structure = { ...simple(draft.drawdown, layersOf(draft.drawdown).count) };
      return {
        draft,
        structure,
        standing: standingOn(warped, structure),
        merged: draft.draft ? null : mergesThatFit(request),
      };
    } catch (error) {
      if (error instanceof DraftError) return error.message;
      throw error;
    }
  }, [plan, arrangement, ends, picks, asDrawn, starts, structures, states, warped, loom]);

  const target = selection?.kind === 'picks' ? pickTarget(table) : { from: 1, to: sample.picks.length };
  const roles = structures[0]?.picks ?? [];
  const wefts = usualWefts(sample, [...new Set(roles)]);
  const weftAt = (row: number) => wefts[roles[row % roles.length]];

  function weaveIt() {
    if (!outcome || typeof outcome === 'string') return;
    const several = new Set(roles).size > 1;
    const repeat = liftsOf(outcome.standing).map((lift, row) => {
      const strand = weftAt(row);
      return several && strand ? { lift, strands: [strand] } : { lift };
    });
    const refusal = samples.dispatch(weaveStructure({ picks: target, repeat, name: 'blocks' }));
    ui.getState().say(refusal ? refusal.message : `Picks ${target.from} to ${target.to} are woven in blocks.`);
  }

  const pickColours = ({ rows }: Drawdown) =>
    Array.from({ length: rows }, (_, row) => sample.yarns[weftAt(row) ?? '']?.coneColour ?? '#808080');
  return (
    <div className="weave-columns">
      <fieldset aria-label="Plan of blocks">
        <BlockGrid plan={plan} onChange={setPlan} most={MOST_BLOCKS} />
      </fieldset>
      <fieldset aria-label="What stands in the blocks">
        {states.map((id, state) => (
          <label key={state}>
            <span className="soft">{state === 0 ? 'Empty squares' : 'Filled squares'}</span>{' '}
            <select
              value={id}
              onChange={(event) => setStates(states.map((old, k) => (k === state ? event.target.value : old)))}
            >
              {(weaves ?? []).map(({ card }) => (
                <option key={card.id} value={card.id}>
                  {card.name}
                </option>
              ))}
            </select>
          </label>
        ))}
        <label>
          <span className="soft">Laid</span>{' '}
          <select value={arrangement} onChange={(event) => setArrangement(event.target.value as Arrangement)}>
            {arrangements.map((each) => (
              <option key={each}>{each}</option>
            ))}
          </select>
        </label>
        <NumberField
          name="Picks of a block"
          value={picks}
          least={1}
          most={400}
          onChange={(value) => value && setPicks(Math.round(value))}
        />
        {starts.length > 1 && (
          <label>
            <input type="checkbox" checked={asDrawn} onChange={(event) => setAsDrawn(event.target.checked)} />{' '}
            {`blocks as this warp is drawn in (${starts.length})`}
          </label>
        )}
        {!(asDrawn && starts.length > 1) && (
          <NumberField
            name="Ends of a block"
            value={ends}
            least={1}
            most={400}
            onChange={(value) => value && setEnds(Math.round(value))}
          />
        )}
      </fieldset>
      <section aria-label="What comes of it">
        {typeof outcome === 'string' && <p className="trouble">{outcome}</p>}
        {outcome && typeof outcome !== 'string' && (
          <>
            <div className="weave-seen">
              <Swatch
                drawdown={outcome.standing.kind === 'cannot' ? outcome.draft.drawdown : outcome.standing.fit.woven}
                endColours={colours}
                pickColours={pickColours(outcome.draft.drawdown)}
                threads={threadsSeen(outcome.draft.drawdown)}
                sidePx={200}
                label="The blocks woven out"
              />
              <p role="status">{blockWords(outcome.draft, loom.shafts)}</p>
            </div>
            {outcome.merged && outcome.merged.merges.length > 0 && (
              <div className="weave-seen">
                <Swatch
                  drawdown={outcome.merged.fitted.drawdown}
                  endColours={colours}
                  pickColours={pickColours(outcome.draft.drawdown)}
                  threads={threadsSeen(outcome.draft.drawdown)}
                  sidePx={120}
                  label="With blocks made one, so that it fits"
                />
                <p>{mergeWords(outcome.merged.merges)}</p>
              </div>
            )}
            <p>{`On this warp: ${standingWords(outcome.standing, formatNumber)}.`}</p>
            {outcome.draft.draft && outcome.standing.kind !== 'here' && (
              <p className="soft">{`Threaded for it: ${formatThreading(outcome.draft.draft.threading)}`}</p>
            )}
            <button type="button" className="strong" disabled={outcome.standing.kind === 'cannot'} onClick={weaveIt}>
              {`Weave picks ${formatNumber(target.from)} to ${formatNumber(target.to)} in these blocks`}
            </button>
          </>
        )}
      </section>
    </div>
  );
}

function blockWords(draft: BlockDraft, shafts: number): string {
  const needs = `${draft.blocks} ${draft.blocks === 1 ? 'block' : 'blocks'} on ${draft.shaftsNeeded} shafts`;
  if (draft.draft) return `${needs}; this loom has ${shafts}.`;
  return `${needs}, but this loom has ${shafts}: enough for ${draft.blocksThatFit} ${draft.blocksThatFit === 1 ? 'block' : 'blocks'}.`;
}

function mergeWords(
  merges: readonly { readonly kept: readonly number[]; readonly changed: readonly number[]; readonly cells: number }[],
): string {
  const cells = merges.reduce((sum, merge) => sum + merge.cells, 0);
  const columns = (list: readonly number[]) => list.map((column) => column + 1).join(', ');
  const list = merges.map(({ kept, changed }) => `${columns(changed)} as ${columns(kept)}`).join('; ');
  return `It would fit with columns ${list}: ${formatNumber(cells)} crossings change their structure.`;
}

/** The whole plan, as far as a swatch can show threads. */
function threadsSeen({ ends, rows }: Drawdown): number {
  return Math.min(Math.max(ends, rows), 240);
}
