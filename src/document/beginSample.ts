import { structureOf } from '#engine/weave/structures/families.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { checkSampleBody } from './check/checkSample.ts';
import type { LoomAndWarp } from './commands/checkCommands.ts';
import { edgesFor } from './commands/edgeOfPass.ts';
import { type Outcome, problemAt } from './problem.ts';
import { MOST_PICKS } from './schema/fields.ts';
import type { WeftPass } from './schema/pickSchema.ts';
import { type Sample, sampleBodySchema } from './schema/sampleSchema.ts';
import { fieldProblem } from './schema/validate.ts';
import type { YarnCard } from './schema/yarnSchema.ts';
import { idBeside } from './warpBeside.ts';
import { liftsOf, warpedLoomOf } from './warpedLoom.ts';

/** What a new sample begins with. */
export interface Beginning {
  readonly name: string;
  readonly on: LoomAndWarp;
  readonly weft: YarnCard;
  readonly picks: number;
  /** How firmly it is beaten, 0..1; absent: as a weaver usually does. */
  readonly firmness?: number;
  /** Shafts raised, or treadles pressed, at each pick of the repeat that is woven; absent: plain weave, or the nearest to it. */
  readonly lifts?: readonly (readonly number[])[];
}

/** How a weaver who is not known yet beats: neither loosely nor hard, with the scatter of a practised hand (estimate). */
export const USUAL_BEAT = { firmness: 0.6, scatterPercent: 5, seed: 1 } as const;

/** How a loom and its warp weave plain cloth, which shows what else they can. */
export function plainOn(on: LoomAndWarp): Standing {
  return standingOn(warpedLoomOf(on), structureOf({ rule: 'plain' }));
}

/** A sample of one weft on a loom as it is warped, woven to and fro from the left, and nothing else said of it. */
export function beginSample(beginning: Beginning): Outcome<Sample> {
  const { name, on, weft, picks, firmness = USUAL_BEAT.firmness, lifts = liftsOf(plainOn(on)) } = beginning;
  if (!Number.isInteger(picks) || picks < 1 || picks > MOST_PICKS) {
    return {
      ok: false,
      problems: [problemAt(['picks'], `are ${picks}`, `give a whole number from 1 to ${MOST_PICKS}`)],
    };
  }
  const misnamed = fieldProblem(sampleBodySchema.entries.name, name, ['name']);
  if (misnamed) return { ok: false, problems: [misnamed] };
  const { yarns: warpYarns = {}, ...warp } = on.warp;
  const yarns: Record<string, YarnCard> = { ...warpYarns };
  const weftId = idBeside(yarns, weft);
  yarns[weftId] ??= { ...weft, id: weftId };
  const sample: Sample = {
    name,
    hungThisWayUp: 'firstPickBelow',
    loom: on.loom,
    warp,
    yarns,
    beat: { ...USUAL_BEAT, firmness },
    picks: Array.from({ length: picks }, (_, k) => {
      const pass: WeftPass = { strands: [weftId], enters: k % 2 === 0 ? 'left' : 'right', ends: 'selvedge' };
      return { lift: [...lifts[k % lifts.length]], passes: [edgesFor(pass, [], yarns)] };
    }),
    versions: [],
  };
  const problems = checkSampleBody(sample);
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: sample };
}
