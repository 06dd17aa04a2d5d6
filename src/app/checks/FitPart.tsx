import { useEffect, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import { ThreadingWords } from '#app/structures/ThreadingWords.tsx';
import { mayThread, type Needs, threadForIt } from '#app/structures/threadForIt.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';
import { weaveBackUppermost, weaveLifts } from '#document/commands/checkCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readLifts, readWarp } from '#document/toClothProblem.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { listMembers, type SetWords, setCount } from '#engine/draft/shaftSet.ts';
import { weaveFaceDown } from '#engine/weave/fit/faceDown.ts';
import { endlessThreads } from '#engine/weave/floats.ts';
import { listPresets, loomOfWarp } from '#io/presets.ts';
import type { CheckClient } from '#workers/checkClient.ts';
import type { FitAnswer } from '#workers/checkProtocol.ts';
import { type FitWanted, fitQuestion } from './fitQuestion.ts';
import { paintFit } from './paintFit.ts';

const NOTHING = '';
/** Fewer shafts a pick than this are not felt (estimate). */
const LIGHTER_SHAFTS = 0.5;

interface Answered {
  readonly wanted: FitWanted;
  readonly fit: FitAnswer;
}

/** A weave on this warp, or this cloth on another loom: whether it can be, the nearest that can, and taking it. */
export function FitPart({ client }: { readonly client: CheckClient }) {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const [choice, setChoice] = useState(NOTHING);
  const [answered, setAnswered] = useState<Answered>();
  const [trouble, setTrouble] = useState('');

  useEffect(() => {
    setAnswered(undefined);
    setTrouble('');
    if (choice === NOTHING) return;
    let asked = true;
    fitQuestion(sample, choice)
      .then(async (wanted) => ({ wanted, fit: await client.ask(wanted.job) }))
      .then(
        (answer) => asked && setAnswered(answer),
        (error: Error) => asked && setTrouble(error.message),
      );
    return () => {
      asked = false;
    };
  }, [client, sample, choice]);

  // What was asked for may have such threads itself; only what the loom adds is in its way.
  const loose = useMemo(
    () =>
      answered ? Math.max(0, endlessThreads(answered.fit.woven) - endlessThreads(answered.wanted.job.drawdown)) : 0,
    [answered],
  );

  const needs = useMemo((): Needs | undefined => {
    if (!answered || answered.fit.changed === 0) return undefined;
    const { drawdown } = answered.wanted.job;
    return {
      shaftsNeeded: distinctEnds(drawdown).firstOf.length,
      liftsNeeded: distinctPicks(drawdown).firstOf.length,
      drawdown,
    };
  }, [answered]);
  // A warp that stands on another loom stays as it is drawn in.
  const threadable = needs !== undefined && !answered?.wanted.on && mayThread(sample, needs);

  function thread({ name, job }: FitWanted) {
    const { drawdown } = job;
    threadForIt(table, { drawdown, wefts: Array.from({ length: drawdown.rows }, () => undefined), what: name });
  }

  function take({ wanted, fit }: Answered) {
    const lifts = sample.picks.map((_, pick) => listMembers(fit.lifts, pick));
    const refusal = samples.dispatch(weaveLifts(lifts, wanted.on));
    ui.getState().say(
      refusal ? refusal.message : `${wanted.name} is woven, as near as this loom can. Undo brings the other back.`,
    );
  }

  return (
    <fieldset>
      <legend>What a loom can weave</legend>
      <label>
        <span className="soft">Try</span>{' '}
        <select value={choice} onChange={(event) => setChoice(event.target.value)}>
          <option value={NOTHING}>choose…</option>
          <optgroup label="This cloth on another loom">
            {warpsByLoom().map(({ id, words }) => (
              <option key={id} value={`warp ${id}`}>
                {words}
              </option>
            ))}
          </optgroup>
          <optgroup label="Another weave on this warp">
            {listPresets('weaves').map(({ id, name }) => (
              <option key={id} value={`weave ${id}`}>
                {name}
              </option>
            ))}
          </optgroup>
        </select>
      </label>
      {trouble && <p className="trouble">{trouble}</p>}
      {answered && (
        <>
          <p role="status">{fitWords(answered)}</p>
          {answered.fit.changed > 0 && <FitCanvas {...answered} />}
          {loose > 0 && (
            <p className="trouble">
              {`The nearest is no cloth: ${counted(loose, 'thread lies', 'threads lie', formatNumber)} on one side from edge to edge. ${threadable ? 'Thread the warp for it, or choose another loom.' : 'Choose another loom, or begin a warp of your own for it.'}`}
            </p>
          )}
          <button type="button" onClick={() => take(answered)}>
            {answered.fit.changed === 0 ? 'Weave it' : 'Weave the nearest'}
          </button>
          {threadable && (
            <button type="button" onClick={() => thread(answered.wanted)}>
              Thread the warp for it
            </button>
          )}
          {needs && !answered.wanted.on && <ThreadingWords sample={sample} needs={needs} />}
        </>
      )}
      {sample.loom.control.kind === 'directLift' && <ByShafts sample={sample} client={client} />}
    </fieldset>
  );
}

/** "P8, pilot house: towel, point draw on five", loom by loom. */
function warpsByLoom(): { readonly id: string; readonly words: string }[] {
  const looms = new Map(listPresets('looms').map(({ id, name }) => [id, name]));
  return listPresets('warps')
    .map(({ id, name }) => ({ id, words: `${looms.get(loomOfWarp(id)) ?? 'no loom'}: ${name}` }))
    .sort((a, b) => a.words.localeCompare(b.words, 'en', { numeric: true }));
}

/** What can be woven, and which threads stand in the way. */
function fitWords({ wanted, fit }: Answered): string {
  const where = wanted.on ? `on ${wanted.on.loom.name}, ${wanted.on.warp.name}` : 'here';
  if (fit.changed === 0) return `${wanted.name} weaves ${where} as it is.`;
  const crossings = fit.woven.rows * fit.woven.ends;
  const share = (100 * fit.changed) / crossings;
  const inTheWay = (counts: Uint32Array, one: string) => {
    const threads = Array.from(counts.keys()).filter((k) => counts[k] > 0);
    const named = threads.slice(0, 8).map((k) => formatNumber(k + 1));
    return `${threads.length === 1 ? one : `${one}s`} ${named.join(', ')}${threads.length > 8 ? ` and ${formatNumber(threads.length - 8)} more` : ''}`;
  };
  const bound =
    fit.leastChanged < fit.changed ? ` No treadling changes fewer than ${formatNumber(fit.leastChanged)}.` : '';
  return `${wanted.name} cannot be woven ${where}. In the nearest that can, ${formatNumber(fit.changed)} crossings (${formatNumber(share, share < 10 ? 1 : 0)} %) differ.${bound} In the way: ${inTheWay(fit.changedPerEnd, 'end')}; ${inTheWay(fit.changedPerPick, 'pick')}.`;
}

/** Wanted on the left, nearest on the right, what differs marked. */
function FitCanvas({ wanted, fit }: Answered) {
  const canvasRef = useCanvas((context, widthPx, heightPx, ink) => {
    paintFit(context, widthPx, heightPx, ink, wanted.job.drawdown, fit.woven);
  });
  return (
    <canvas
      ref={canvasRef}
      className="fit-canvas"
      role="img"
      aria-label="Wanted, and the nearest: what differs is marked"
    />
  );
}

/** Of lifts, each shaft by itself: the other side uppermost, and how many treadles they would take. */
function ByShafts({ sample, client }: { readonly sample: Sample; readonly client: CheckClient }) {
  const { samples, ui } = useTable();
  const [told, setTold] = useState<{ readonly picks: Sample['picks']; readonly words: string }>();
  const { loom, warp, picks } = sample;
  const { liftPlan, weighed } = useMemo(() => {
    const { threading } = readWarp(warp);
    const lifts = readLifts({ loom, warp, picks });
    const drawdown = computeDrawdown(threading, lifts.liftPlan);
    return { ...lifts, weighed: weaveFaceDown(drawdown, lifts.liftPlan, threading, loom.shafts) };
  }, [loom, warp, picks]);
  const { faceUp, faceDown } = weighed;
  const lighter = faceUp.mean - faceDown.mean >= LIGHTER_SHAFTS;
  const lifts = ({ mean, most }: typeof faceUp) => `${formatNumber(mean, 1)} shafts a pick, ${most} at most`;

  function tieUp() {
    client.ask({ kind: 'tieUp', liftPlan, shafts: loom.shafts }).then(
      ({ tieUp: found, fewest }) => setTold({ picks, words: tieUpWords(found.treadles, fewest) }),
      (error: Error) => setTold({ picks, words: error.message }),
    );
  }

  return (
    <>
      <p className="face-down">
        {`The face is uppermost on the loom: ${lifts(faceUp)}. With the back uppermost: ${lifts(faceDown)}${lighter ? ', the lighter way' : ''}. `}
        <button
          type="button"
          onClick={() => {
            const refusal = samples.dispatch(weaveBackUppermost());
            ui.getState().say(
              refusal
                ? refusal.message
                : 'Woven with the other side uppermost, last pick first. Off the loom, turn it over its top edge: it is the same cloth.',
            );
          }}
        >
          Weave the other side up
        </button>
      </p>
      <p className="face-down">
        <button type="button" onClick={tieUp}>
          How many treadles?
        </button>{' '}
        <span role="status">{told?.picks === picks ? told.words : ''}</span>
      </p>
    </>
  );
}

/** "7 treadles, two at once, make these lifts: 1+3, 2+4 …; no tie-up has fewer than 6." */
function tieUpWords(treadles: SetWords, fewest: number): string {
  const count = setCount(treadles);
  const ties = Array.from({ length: count }, (_, treadle) => listMembers(treadles, treadle).join('+'));
  const bound = fewest < count ? `no tie-up has fewer than ${fewest}` : 'no tie-up has fewer';
  return `${count} treadles, at most two pressed at once, make these lifts: ${ties.join(', ')}; ${bound}.`;
}
