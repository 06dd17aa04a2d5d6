import type { TableModel } from '#app/model/tableModel.ts';
import { bringFromStock } from '#app/model/weaving.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { weaveFitted } from '#document/commands/draftCommands.ts';
import { setNotes } from '#document/commands/sampleCommands.ts';
import { setSecondBeam } from '#document/commands/warpCommands.ts';
import { fitAnew, threadAnew } from '#document/fitDrawdown.ts';
import { formatBeams } from '#document/notation/secondBeam.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';

/** Let off longer from a second beam, per cent, until she says otherwise (common practice for puckered stripes). */
const USUAL_SLACK = 10;

export interface ThreadedFor {
  /** One repeat, or the whole; begun again until ends and picks run out. */
  readonly drawdown: Drawdown;
  /** Of each pick of the drawdown; undefined: the pick keeps its weft. */
  readonly wefts: readonly (readonly string[] | undefined)[];
  readonly what: string;
  /** Whether an end (from 0) comes from a second beam; absent: beams stay as they are. */
  readonly onSecondBeam?: (end: number) => boolean;
}

/**
 * Draws the whole warp in for a structure, or ties its treadles anew where that is enough, and weaves all picks in it, as one step
 * to undo. Notes of the sample stay, marked as of the cloth before; those of the old draw are left behind. Says so, or why not.
 */
export function threadForIt({ samples, ui, stock }: TableModel, asked: ThreadedFor): void {
  const { drawdown, wefts, what, onSecondBeam } = asked;
  const { sample } = samples.state.getState();
  const { ends } = sample.warp;
  const picks = Math.max(sample.picks.length, drawdown.rows);
  const fitted = fitAnew(sample, tile(drawdown, picks, ends));
  if (!fitted) {
    ui.getState().say(`${sample.loom.name} has too few shafts or treadles for it.`);
    return;
  }
  const { threading, tieUp } = fitted;
  const done = threading ? 'drawn in' : tieUp ? 'tied' : 'woven';
  const before = `Before it was ${done} for ${what}: `;
  const marks = done !== 'woven' && sample.notes !== undefined && !sample.notes.startsWith('Before it was ');
  samples.begin(`${threading ? 'thread the warp' : tieUp ? 'tie the treadles' : 'weave all'} for ${what}`);
  const beams = onSecondBeam && Array.from({ length: ends }, (_, end) => Number(onSecondBeam(end)));
  const refusal =
    bringFromStock(
      samples,
      stock.getState().cards ?? [],
      wefts.flat().filter((id) => id !== undefined),
    ) ??
    samples.dispatch(weaveFitted({ fitted, fromPick: 1, what, wefts })) ??
    (beams?.includes(1)
      ? samples.dispatch(
          setSecondBeam({
            ends: formatBeams(beams),
            slackPercent: sample.warp.secondBeam?.slackPercent ?? USUAL_SLACK,
          }),
        )
      : null) ??
    (marks ? samples.dispatch(setNotes(`${before}${sample.notes}`)) : null);
  if (refusal) samples.cancel();
  else samples.commit();
  const anew = {
    'drawn in': `The warp is drawn in for ${what} on ${new Set(threading).size} shafts`,
    tied: `The treadles are tied for ${what}`,
    woven: `${what} is woven`,
  };
  const notes =
    done === 'woven'
      ? ''
      : notesLeftWords(sample) + (marks ? ' Yours on the sample now say that they are of the cloth before.' : '');
  ui.getState().say(refusal ? refusal.message : `${anew[done]}: ${picks} picks.${notes} Undo brings all of it back.`);
}

/** What becomes of the notes on a warp that is drawn in or tied anew; nothing where there are none. */
export function notesLeftWords({ warp }: Pick<Sample, 'warp'>): string {
  return warp.notes ? ` What was noted of its old draw and ties is left behind: “${warp.notes}”` : '';
}

/** What a structure takes of a loom that is threaded for it. */
export interface Needs {
  readonly shaftsNeeded: number;
  /** Different lifts. */
  readonly liftsNeeded: number;
  /** One repeat. */
  readonly drawdown: Drawdown;
}

/** Whether a loom's treadles, one or two at a time, make all lifts of a repeat: sought once, for lists ask again and again. */
const treadled = new WeakMap<Drawdown, WeakMap<Sample['loom'], boolean>>();

function isTreadled(drawdown: Drawdown, loom: Sample['loom']): boolean {
  const known = treadled.get(drawdown) ?? new WeakMap<Sample['loom'], boolean>();
  treadled.set(drawdown, known);
  const found = known.get(loom) ?? threadAnew(drawdown, loom) !== undefined;
  known.set(loom, found);
  return found;
}

/** What the loom has too few of, in words; nothing where it has enough. */
export function lackWords(
  { loom }: Pick<Sample, 'loom'>,
  { shaftsNeeded, liftsNeeded, drawdown }: Needs,
): string | undefined {
  if (shaftsNeeded > loom.shafts)
    return `Threaded for it, it takes ${formatNumber(shaftsNeeded)} shafts; ${loom.name} has ${formatNumber(loom.shafts)}.`;
  const { control } = loom;
  if (control.kind === 'directLift' || liftsNeeded <= control.treadles || isTreadled(drawdown, loom)) return undefined;
  return `Threaded for it, it takes ${formatNumber(liftsNeeded)} different lifts: no ties were found that make them with the ${formatNumber(control.treadles)} treadles of ${loom.name}, one or two pressed at a time. A dobby lifts each pick by itself, without treadles: begin on a loom that has one.`;
}

/** Whether the warp may be drawn in otherwise, and the loom has the shafts and treadles. */
export function mayThread(sample: Pick<Sample, 'loom' | 'warp'>, needs: Needs): boolean {
  return sample.warp.fixed !== true && lackWords(sample, needs) === undefined;
}
