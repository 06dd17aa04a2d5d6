import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { formatNumber } from '#app/words/numbers.ts';
import type { Span } from '#document/commands/command.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import type { Arrangement, BlockDraft } from '#engine/weave/structures/blockDraft.ts';
import { blockStarts } from '#engine/weave/structures/onThisLoom.ts';
import type { Structure } from '#engine/weave/structures/structureTypes.ts';
import { BlockGrid, STATE_LOOKS } from './BlockGrid.tsx';
import { BlockStates } from './BlockStates.tsx';
import { blocksOnLoom } from './blocksOnLoom.ts';
import { standingWords, useLibrary } from './library.ts';
import { Swatch } from './Swatch.tsx';
import { ThreadingWords } from './ThreadingWords.tsx';
import { mayThread, threadForIt } from './threadForIt.ts';
import { targetWords, useWeaveTargets } from './weaveTargets.ts';
import { endColours, usualWefts } from './wefts.ts';

const arrangements: readonly Arrangement[] = ['once', 'repeated', 'facing', 'staggered'];
const MOST_BLOCKS = 24;
const begun: readonly (readonly number[])[] = [
  [0, 1],
  [1, 0],
];

/** None, or ends of one role, or of blocks that look so in the first row. */
type BeamChoice = 'one' | `role ${string}` | `state ${number}`;

/** Figures in blocks: a plan, a structure for each of its states, and the draft that comes of it. */
export function BlocksPart() {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const targets = useWeaveTargets();
  const weaves = useLibrary();
  const [plan, setPlan] = useState(begun);
  const [states, setStates] = useState<readonly string[]>(['double-plain', 'double-plain-exchanged']);
  const [arrangement, setArrangement] = useState<Arrangement>('repeated');
  const [ends, setEnds] = useState(24);
  const [picks, setPicks] = useState(24);
  const [asDrawn, setAsDrawn] = useState(true);
  const [beam, setBeam] = useState<BeamChoice>('one');
  const { loom, warp } = sample;
  const warped = useMemo(() => warpedLoomOf({ loom, warp }), [loom, warp]);
  const starts = useMemo(() => blockStarts(warped), [warped]);
  const drawn = asDrawn && starts.length > 1;
  const colours = useMemo(() => endColours(sample), [sample]);
  const structures = useMemo(
    () => states.flatMap((id) => weaves?.filter(({ card }) => card.id === id).map(({ structure }) => structure) ?? []),
    [states, weaves],
  );
  const outcome = useMemo(() => {
    if (structures.length < states.length) return undefined;
    return blocksOnLoom({ plan, arrangement, structures, starts: drawn ? starts : [], ends, picks }, warped);
  }, [plan, arrangement, ends, picks, drawn, starts, structures, states, warped]);

  const roles = structures[0]?.picks ?? [];
  const wefts = usualWefts(sample, [...new Set(roles)]);
  const weftAt = (row: number) => wefts[roles[row % roles.length]];
  const strandsAt = (row: number) => {
    const strand = weftAt(row);
    return new Set(roles).size > 1 && strand ? [strand] : undefined;
  };

  function takeStates(next: readonly string[]) {
    setStates(next);
    // Squares of a structure that is gone are empty.
    setPlan(plan.map((row) => row.map((state) => (state < next.length ? state : 0))));
  }

  function weaveIt(target: Span) {
    if (!outcome || typeof outcome === 'string') return;
    const repeat = liftsOf(outcome.standing).map((lift, row) => {
      const strands = strandsAt(row);
      return strands ? { lift, strands } : { lift };
    });
    const refusal = samples.dispatch(weaveStructure({ picks: target, repeat, name: 'blocks' }));
    ui.getState().say(refusal ? refusal.message : `Woven in blocks: ${targetWords(target, sample.picks.length)}.`);
  }

  function threadIt() {
    if (!outcome || typeof outcome === 'string') return;
    const { drawdown } = outcome.draft;
    const { firstRow } = outcome;
    const [of, which] = beam.split(' ');
    const onSecondBeam = (end: number) =>
      of === 'role'
        ? structures[0].ends[end % structures[0].ends.length] === which
        : firstRow[end % firstRow.length] === Number(which);
    threadForIt(table, {
      drawdown,
      wefts: Array.from({ length: drawdown.rows }, (_, row) => strandsAt(row)),
      what: 'blocks',
      ...(beam === 'one' ? {} : { onSecondBeam }),
    });
  }

  const pickColours = ({ rows }: Drawdown) =>
    Array.from({ length: rows }, (_, row) => sample.yarns[weftAt(row) ?? '']?.coneColour ?? '#808080');
  return (
    <div className="weave-columns">
      <fieldset aria-label="Plan of blocks">
        <BlockGrid plan={plan} states={states.length} onChange={setPlan} most={MOST_BLOCKS} />
      </fieldset>
      <fieldset aria-label="What stands in the blocks">
        <BlockStates states={states} weaves={weaves ?? []} onChange={takeStates} />
        <Choice<Arrangement>
          name="Laid"
          value={arrangement}
          options={arrangements.map((each) => [each, each] as const)}
          onChoose={setArrangement}
        />
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
        {!drawn && (
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
            <div className="weave-tools">
              {targets.map((target) => (
                <button
                  key={`${target.from} ${target.to}`}
                  type="button"
                  className="strong"
                  disabled={outcome.standing.kind === 'cannot'}
                  onClick={() => weaveIt(target)}
                >
                  {`Weave ${targetWords(target, sample.picks.length)} in these blocks`}
                </button>
              ))}
              {mayThread(sample, { ...outcome.standing, drawdown: outcome.draft.drawdown }) && (
                <>
                  <button type="button" className="strong" onClick={threadIt}>
                    Thread the warp for them, and weave all
                  </button>
                  <Choice<BeamChoice>
                    name="On a second beam"
                    value={beam}
                    options={beamChoices(structures, states.length)}
                    onChoose={setBeam}
                  />
                </>
              )}
            </div>
            {outcome.standing.kind !== 'here' && (
              <ThreadingWords sample={sample} needs={{ ...outcome.standing, drawdown: outcome.draft.drawdown }} />
            )}
          </>
        )}
      </section>
    </div>
  );
}

function beamChoices(structures: readonly Structure[], states: number): (readonly [BeamChoice, string])[] {
  const roles = [...new Set(structures[0].ends)];
  return [
    ['one', 'none'],
    ...(roles.length > 1 ? roles.map((role) => [`role ${role}`, `${role} ends`] as const) : []),
    ...STATE_LOOKS.slice(0, states).map(
      (look, state) => [`state ${state}`, `blocks ${look} in the first row`] as const,
    ),
  ];
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
