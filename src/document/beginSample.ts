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
  /** The picks of the repeat that is woven; absent: plain weave, or the nearest to it. */
  readonly repeat?: readonly BegunPick[];
}

/** A pick of the weave that a sample is begun in. */
export interface BegunPick {
  /** Shafts raised, or treadles pressed. */
  readonly lift: readonly number[];
  /** Its own, where the weave has wefts of several sorts; absent: the sample's. */
  readonly weft?: YarnCard;
}

/** How a weaver who is not known yet beats: neither loosely nor hard, with the scatter of a practised hand (estimate). */
export const USUAL_BEAT = { firmness: 0.6, scatterPercent: 5, seed: 1 } as const;

/** How a loom and its warp weave plain cloth, which shows what else they can. */
export function plainOn(on: LoomAndWarp): Standing {
  return standingOn(warpedLoomOf(on), structureOf({ rule: 'plain' }));
}

/** A sample on a loom as it is warped, each weft woven to and fro from the left, and nothing else said of it. */
export function beginSample(beginning: Beginning): Outcome<Sample> {
  const { name, on, weft, picks, firmness = USUAL_BEAT.firmness } = beginning;
  const repeat: readonly BegunPick[] = beginning.repeat ?? liftsOf(plainOn(on)).map((lift) => ({ lift }));
  if (!Number.isInteger(picks) || picks < 1 || picks > MOST_PICKS) {
    return {
      ok: false,
      problems: [problemAt(['picks'], `are ${picks}`, `give a whole number from 1 to ${MOST_PICKS}`)],
    };
  }
  if (repeat.length === 0) {
    return {
      ok: false,
      problems: [problemAt(['repeat'], 'has no picks', 'give one pick or more, or leave it out for plain weave')],
    };
  }
  const misnamed = fieldProblem(sampleBodySchema.entries.name, name, ['name']);
  if (misnamed) return { ok: false, problems: [misnamed] };
  const { yarns: warpYarns = {}, ...warp } = on.warp;
  const yarns: Record<string, YarnCard> = { ...warpYarns };
  // A card that comes again keeps the id that it was given.
  const idOf = new Map<YarnCard, string>();
  const woven = repeat.slice(0, picks).map(({ lift, weft: own = weft }) => {
    const weftId = idOf.get(own) ?? idBeside(yarns, own);
    idOf.set(own, weftId);
    yarns[weftId] ??= { ...own, id: weftId };
    return { lift, weftId };
  });
  const thrown = new Map<string, number>();
  const sample: Sample = {
    name,
    hungThisWayUp: 'firstPickBelow',
    loom: on.loom,
    warp,
    yarns,
    beat: { ...USUAL_BEAT, firmness },
    picks: Array.from({ length: picks }, (_, k) => {
      const { lift, weftId } = woven[k % woven.length];
      const before = thrown.get(weftId) ?? 0;
      thrown.set(weftId, before + 1);
      const pass: WeftPass = { strands: [weftId], enters: before % 2 === 0 ? 'left' : 'right', ends: 'selvedge' };
      return { lift: [...lift], passes: [edgesFor(pass, [], yarns)] };
    }),
    versions: [],
  };
  const problems = checkSampleBody(sample);
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: sample };
}
