import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { TextField } from '#app/plan/TextField.tsx';
import { formatNumber } from '#app/words/numbers.ts';
import { capital, counted } from '#app/words/words.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { computeTreadledDrawdown } from '#engine/draft/computeDrawdown.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { parseTreadling } from '#engine/draft/orders.ts';
import { listSets, type SetWords } from '#engine/draft/shaftSet.ts';
import { type OwnTreadling, ownTreadlings } from '#engine/draft/treadlings.ts';
import { endlessThreads } from '#engine/weave/floats.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { holdWords } from './library.ts';
import { Swatch } from './Swatch.tsx';
import { targetWords, useWeaveTargets } from './weaveTargets.ts';
import { coloursFrom, endColours } from './wefts.ts';

const kindWords: Readonly<Record<OwnTreadling['kind'], string>> = {
  inTurn: 'in turn',
  toAndFro: 'to and fro',
  asDrawnIn: 'as drawn in',
};

/** What the tie-up weaves with no shaft tied otherwise: treadles in an order, its own or any. */
export function TreadlingPart() {
  const { samples, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const targets = useWeaveTargets();
  const { loom, warp } = sample;
  const warped = useMemo(() => warpedLoomOf({ loom, warp }), [loom, warp]);
  const ties = warp.tieUp ?? [];
  const own = useMemo(
    () => ownTreadlings(warp.tieUp ?? [], loom.shafts, warped.threading),
    [warp.tieUp, loom.shafts, warped],
  );
  const [written, setWritten] = useState<string>();
  const notation = written ?? own[0]?.notation ?? '';
  const treadling = useMemo(() => readTreadling(notation, ties.length), [notation, ties.length]);
  const drawdown = useMemo(
    () =>
      typeof treadling === 'string' || !warped.tieUp
        ? undefined
        : computeTreadledDrawdown(warped.threading, warped.tieUp, treadling),
    [treadling, warped],
  );
  const ends = useMemo(() => endColours(sample), [sample]);
  const shown = Math.min(Math.max(32, drawdown?.rows ?? 0), 96);
  const fromPick = targets[0].from;
  // Beyond the treadling's repeat too: the order of the wefts need not fit it.
  const pickColours = useMemo(() => coloursFrom(sample, fromPick, shown), [sample, fromPick, shown]);

  function weave(picks: { readonly from: number; readonly to: number }) {
    if (typeof treadling === 'string') return;
    const repeat = listSets(treadling).map((lift) => ({ lift }));
    const name = `treadling ${notation}`;
    const refusal = samples.dispatch(weaveStructure({ picks, repeat, name }));
    ui.getState().say(
      refusal?.message ??
        `${capital(targetWords(picks, sample.picks.length))} woven in this treadling. Undo brings the last ones back.`,
    );
  }

  return (
    <div className="weave-columns">
      <fieldset>
        <legend>Treadles, as they are tied</legend>
        <p className="soft">
          {`${counted(ties.length, 'treadle', 'treadles', formatNumber)}, tied as the draft shows; nothing is tied anew. `}
          {own.length > 0
            ? 'Each order below weaves on this warp as it is drawn in.'
            : `No twill line is tied, so the tie-up does not say its order${warp.notes ? '; what is noted of the warp may' : ''}.`}
          {warp.notes && ` Noted of this warp: ${warp.notes}`}
        </p>
        <div className="weave-tools">
          {own.map(({ kind, run, notation: each }) => (
            <button key={each} type="button" aria-pressed={each === notation} onClick={() => setWritten(each)}>
              {`${run.from} to ${run.to} ${kindWords[kind]}`}
            </button>
          ))}
        </div>
        <TextField
          name="Treadling, first pick first"
          value={notation}
          wide
          onTake={(text) => {
            setWritten(text);
            return true;
          }}
        />
        {typeof treadling === 'string' && notation !== '' ? (
          <p className="trouble" role="status">
            {treadling}
          </p>
        ) : (
          <p className="soft">
            Such as 3-10, point 3-10, 1 2 x4, or 1+3 for two together; it begins again to the last pick.
          </p>
        )}
        {targets.map((target) => (
          <button
            key={`${target.from} ${target.to}`}
            type="button"
            className="strong"
            disabled={drawdown === undefined || drawdown.rows === 0}
            onClick={() => weave(target)}
          >
            {`Weave ${targetWords(target, sample.picks.length)} so`}
          </button>
        ))}
      </fieldset>
      {drawdown && drawdown.rows > 0 && (
        <div className="weave-seen">
          <Swatch
            drawdown={drawdown}
            endColours={ends}
            pickColours={pickColours}
            threads={shown}
            sidePx={192}
            label={`Treadling ${notation} on this warp`}
          />
          <p role="status">{`${counted(drawdown.rows, 'pick', 'picks', formatNumber)} to the repeat. ${clothWords(drawdown)}`}</p>
        </div>
      )}
    </div>
  );
}

/** The treadles of each pick, or why it cannot be read. */
function readTreadling(notation: string, treadles: number): SetWords | string {
  try {
    const read = parseTreadling(notation, treadles);
    return read.length === 0 ? 'Name a treadle at least.' : read;
  } catch (error) {
    if (error instanceof DraftError) return error.message;
    throw error;
  }
}

function clothWords(drawdown: Drawdown): string {
  const loose = endlessThreads(drawdown);
  if (loose > 0)
    return `${counted(loose, 'thread', 'threads', formatNumber)} would lie loose, over or under all others.`;
  return `It ${holdWords(layersOf(drawdown).count, formatNumber)}.`;
}
