import { beginSample } from './beginSample.ts';
import { checkWarp } from './check/checkSample.ts';
import { formatEndOrder } from './notation/endOrder.ts';
import { threadingOver } from './notation/threading.ts';
import { type Outcome, problemAt, problemsUnder } from './problem.ts';
import type { LoomCard } from './schema/loomSchema.ts';
import type { Sample } from './schema/sampleSchema.ts';
import { fieldProblem } from './schema/validate.ts';
import { WARP_VERSION, type WarpCard, warpSchema } from './schema/warpSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';

/** A warp that is planned from nothing. */
export interface WarpPlan {
  readonly loom: LoomCard;
  /** Yarns of the ends, one end of each in turn. */
  readonly warpYarns: readonly YarnCard[];
  readonly weftYarn: YarnCard;
  readonly ends: number;
  readonly endsPerCm: number;
  /** The reed and how it is sleyed; absent: the nearest to the sett with one number of ends in every dent. */
  readonly reed?: Sley;
  /** How it is drawn in, begun again until the ends run out. */
  readonly threading: string;
  readonly picks: number;
}

export interface Sley {
  readonly dentsPerCm: number;
  /** One number for every dent, or two in turn, as "2 3". */
  readonly endsPerDent: number | string;
}

/** More ends in one dent rub and stick (common practice). */
const MOST_IN_DENT = 6;

/** Ends to the cm as they are sleyed. */
export function settOf({ dentsPerCm, endsPerDent }: Sley): number {
  const order = typeof endsPerDent === 'number' ? [endsPerDent] : endsPerDent.split(' ').map(Number);
  return (dentsPerCm * order.reduce((sum, ends) => sum + ends, 0)) / order.length;
}

/**
 * Ways to sley a warp in a loom's reeds, the nearest to the sett first: one number of ends in every dent, or that and one more
 * in turn.
 * @param count as many as are wanted, at most
 */
export function sleysNear(endsPerCm: number, reedsDentsPerCm: readonly number[], count: number): readonly Sley[] {
  const off = (sley: Sley) => Math.abs(Math.log(settOf(sley) / endsPerCm));
  return reedsDentsPerCm
    .flatMap((dentsPerCm): Sley[] => {
      const fewer = Math.min(Math.max(Math.floor(endsPerCm / dentsPerCm), 1), MOST_IN_DENT);
      const more = Math.min(fewer + 1, MOST_IN_DENT);
      const orders = more > fewer ? [fewer, more, `${fewer} ${more}`] : [fewer];
      return orders.map((endsPerDent) => ({ dentsPerCm, endsPerDent }));
    })
    .sort((a, b) => off(a) - off(b))
    .slice(0, count);
}

/** Of a loom's reeds the one that comes nearest to a sett with one number of ends in every dent; among equals the fewest. */
export function sleyFor(
  endsPerCm: number,
  reedsDentsPerCm: readonly number[],
): Sley & { readonly endsPerDent: number } {
  let best: (Sley & { readonly endsPerDent: number }) | undefined;
  const off = (sley: Sley) => Math.abs(Math.log(settOf(sley) / endsPerCm));
  for (const dentsPerCm of reedsDentsPerCm) {
    for (let endsPerDent = 1; endsPerDent <= MOST_IN_DENT; endsPerDent++) {
      const sley = { dentsPerCm, endsPerDent };
      const [now, then] = [off(sley), best ? off(best) : Number.POSITIVE_INFINITY];
      if (!best || now < then - 1e-9 || (now < then + 1e-9 && endsPerDent < best.endsPerDent)) best = sley;
    }
  }
  return best ?? { dentsPerCm: endsPerCm, endsPerDent: 1 };
}

/** Tension of an end for its mass, cN/tex, before the loom's own bounds (estimate). */
const TENSION_CN_PER_TEX = 0.7;

/**
 * The warp that is planned. On a treadle loom each treadle is tied to one shaft and the last two, where there are so many, to
 * the odd and the even ones. It is not fixed: threading and sett may still be chosen.
 */
export function ownWarp(plan: Omit<WarpPlan, 'weftYarn' | 'picks'>): Outcome<WarpCard> {
  const { loom, warpYarns, ends, endsPerCm } = plan;
  const countProblem = fieldProblem(warpSchema.entries.ends, ends, ['warp', 'ends']);
  if (countProblem) return { ok: false, problems: [countProblem] };
  if (!(endsPerCm > 0)) {
    return { ok: false, problems: [problemAt(['warp', 'reed'], 'has no sett', 'say how many ends to the cm')] };
  }
  const drawn = threadingOver(plan.threading, ends);
  if (!drawn.ok) return drawn;
  const palette = warpYarns.map(({ id }) => [id]);
  const tex = Math.max(...warpYarns.map((yarn) => yarn.tex));
  const [least, most] = loom.tensionCNPerEnd;
  const tied = tiedShaftByShaft(loom);
  const warp: WarpCard = {
    format: 'forecloth-warp',
    version: WARP_VERSION,
    id: 'own-warp',
    name: `${warpYarns.map((yarn) => yarn.name).join(' and ')}, own warp`.slice(0, 120),
    loomId: loom.id,
    ends,
    order: formatEndOrder({ palette, index: Uint16Array.from({ length: ends }, (_, end) => end % palette.length) }),
    reed: plan.reed ?? sleyFor(endsPerCm, loom.reedsDentsPerCm),
    threading: drawn.value,
    ...(tied ? { tieUp: tied } : {}),
    tensionCNPerEnd: Math.min(Math.max(Math.round(TENSION_CN_PER_TEX * tex), least), most),
    yarns: Object.fromEntries(warpYarns.map((yarn) => [yarn.id, yarn])),
  };
  const problems = problemsUnder(['warp'], checkWarp(warp, loom, warp.yarns ?? {}));
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: warp };
}

/** A sample begun on a warp of one's own: plain weave, or the nearest that the draw allows, in one weft. */
export function sampleOnWarp(plan: WarpPlan, name: string): Outcome<Sample> {
  const warp = ownWarp(plan);
  if (!warp.ok) return warp;
  return beginSample({ name, on: { loom: plan.loom, warp: warp.value }, weft: plan.weftYarn, picks: plan.picks });
}

function tiedShaftByShaft({ control, shafts }: LoomCard): number[][] | undefined {
  if (control.kind === 'directLift') return undefined;
  const all = Array.from({ length: shafts }, (_, k) => k + 1);
  const own = Array.from({ length: control.treadles }, (_, treadle) => (treadle < shafts ? [treadle + 1] : []));
  if (control.treadles >= shafts + 2) {
    own[shafts] = all.filter((shaft) => shaft % 2 === 1);
    own[shafts + 1] = all.filter((shaft) => shaft % 2 === 0);
  }
  return own;
}
