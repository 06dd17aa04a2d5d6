import { curlTurnRad } from '#engine/cloth/hold/curlTurn.ts';
import type { Curl } from '#engine/cloth/hold/tendencies.ts';
import { curledEnds, FLAT } from '#engine/packing/walk/drape.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type BentStill, CLEAR_OF_CLOTH } from './bentStill.ts';

/** Beyond it the roll would lie in the cloth that it rolls off. */
const MOST_TURN_RAD = 1.5 * Math.PI;
/** Flat panels about a roll are longer than its arc, by this at most. */
const PANELS_LONGER = 1.02;

/** How a cloth is seen to roll. */
export interface DrawnCurl {
  readonly to: 'face' | 'back';
  readonly from: 'picks' | 'selvedges';
  /** Of the cloth's middle: the reading's, unless the cloth is too thick for it. */
  readonly radiusMm: number;
  /** Of each edge, as drawn. */
  readonly turnRad: number;
  /** It rolls on beyond what is drawn. */
  readonly goesOn: boolean;
}

export interface CurledStill extends BentStill {
  /** Undefined for a cloth that lies flat. */
  readonly curl: DrawnCurl | undefined;
  /** On the loom it is held flat, whatever it would do. */
  readonly onLoom: boolean;
}

/**
 * The cloth let go on a table, the side that it rolls to up. Radius and side are the reading's, how far it rolls its weight's.
 * A cloth rolls one way only: of two tendencies the one that gives back more energy is drawn.
 */
export function curledStill({ packed, readings }: Pick<ForecastResult, 'packed' | 'readings'>): CurledStill {
  const { curls, stiffnessNmm, weightGPerM2 } = readings;
  const { min, max } = packed.bounds;
  const ways = [
    { from: 'picks', curl: curls?.along, stiffness: stiffnessNmm.along.value, axis: 1 },
    { from: 'selvedges', curl: curls?.across, stiffness: stiffnessNmm.across.value, axis: 0 },
  ] as const;
  const energy = (curl: Curl | undefined, stiffness: number) => (curl ? stiffness / curl.radiusMm.value ** 2 : 0);
  const [along, across] = ways;
  const way = energy(along.curl, along.stiffness) >= energy(across.curl, across.stiffness) ? along : across;
  const { curl, from, axis, stiffness } = way;
  if (!curl) return { drape: FLAT, side: 'face', view: 'low', curl: undefined, onLoom: curls === undefined };
  const { to } = curl;
  const reachMm = to === 'face' ? max[2] : -min[2];
  const radiusMm = Math.max(curl.radiusMm.value, CLEAR_OF_CLOTH * reachMm);
  const rolls = curlTurnRad(stiffness, weightGPerM2.value, radiusMm);
  const turnRad = Math.min(rolls, MOST_TURN_RAD, turnThatFits((max[axis] - min[axis]) / 2 / radiusMm / PANELS_LONGER));
  const acrossWidth = axis === 0;
  return {
    drape: curledEnds([min[axis], max[axis]], { radiusMm, turnRad, to, acrossWidth }),
    side: to,
    view: acrossWidth ? 'low' : 'turned',
    curl: { to, from, radiusMm, turnRad, goesOn: turnRad < rolls },
    onLoom: false,
  };
}

/**
 * How far each of two rolls may turn before they meet in the middle: θ of the cloth is rolled up, and past half a turn its edge
 * comes back over the flat by −sin θ.
 * @param half the cloth's length over the radius
 */
export function turnThatFits(half: number): number {
  let [low, high] = [0, MOST_TURN_RAD];
  for (let step = 0; step < 40; step++) {
    const turn = (low + high) / 2;
    if (turn + Math.max(0, -Math.sin(turn)) <= half) low = turn;
    else high = turn;
  }
  return low;
}
