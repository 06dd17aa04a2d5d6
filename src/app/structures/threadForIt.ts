import type { TableModel } from '#app/model/tableModel.ts';
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
export function threadForIt({ samples, ui }: TableModel, asked: ThreadedFor): void {
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

/** Whether the warp may be drawn in otherwise, and the loom has the shafts. */
export function mayThread({ loom, warp }: Pick<Sample, 'loom' | 'warp'>, shaftsNeeded: number): boolean {
  return warp.fixed !== true && shaftsNeeded <= loom.shafts;
}
