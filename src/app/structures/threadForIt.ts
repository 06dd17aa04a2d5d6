import type { TableModel } from '#app/model/tableModel.ts';
import { bringFromStock } from '#app/model/weaving.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { weaveFitted } from '#document/commands/draftCommands.ts';
import { setSecondBeam } from '#document/commands/warpCommands.ts';
import { fitDrawdown } from '#document/fitDrawdown.ts';
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

/** Draws the whole warp in for a structure and weaves all picks in it, as one step to undo. Says so, or why not. */
export function threadForIt({ samples, ui, stock }: TableModel, asked: ThreadedFor): void {
  const { drawdown, wefts, what, onSecondBeam } = asked;
  const { sample } = samples.state.getState();
  const { ends } = sample.warp;
  const picks = Math.max(sample.picks.length, drawdown.rows);
  const fitted = fitDrawdown(sample, tile(drawdown, picks, ends));
  if (fitted.changed > 0) {
    ui.getState().say(`${sample.loom.name} has too few shafts or treadles for it.`);
    return;
  }
  samples.begin(`thread the warp for ${what}`);
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
      : null);
  if (refusal) samples.cancel();
  else samples.commit();
  const shafts = new Set(fitted.threading ?? []).size;
  const drawn = shafts > 0 ? `The warp is drawn in for ${what} on ${shafts} shafts` : `${what} is woven`;
  ui.getState().say(refusal ? refusal.message : `${drawn}: ${picks} picks. Undo brings the last ones back.`);
}

/** What a structure takes of a loom that is threaded for it. */
export interface Needs {
  readonly shaftsNeeded: number;
  /** Different lifts, each with a treadle of its own where there are treadles. */
  readonly liftsNeeded: number;
}

/** What the loom has too few of, in words; nothing where it has enough. */
export function lackWords({ loom }: Pick<Sample, 'loom'>, { shaftsNeeded, liftsNeeded }: Needs): string | undefined {
  const lack = (thing: string, needed: number, has: number) =>
    `Threaded for it, it takes ${formatNumber(needed)} ${thing}; ${loom.name} has ${formatNumber(has)}.`;
  if (shaftsNeeded > loom.shafts) return lack('shafts', shaftsNeeded, loom.shafts);
  const { control } = loom;
  if (control.kind === 'treadles' && liftsNeeded > control.treadles)
    return lack('treadles', liftsNeeded, control.treadles);
  return undefined;
}

/** Whether the warp may be drawn in otherwise, and the loom has the shafts and treadles. */
export function mayThread(sample: Pick<Sample, 'loom' | 'warp'>, needs: Needs): boolean {
  return sample.warp.fixed !== true && lackWords(sample, needs) === undefined;
}
