import type { Millimetres, NewtonSquareMillimetres } from '#engine/units/units.ts';

/** Pull that a hand gives a turn at the selvedge before the edge is drawn in, N; an estimate. */
const TURNING_PULL_N = 1;
/** A loop wider than this either side of the pick stands out from the edge as a handle (estimate). */
const LOOP_STANDS_OUT_MM = 3;

/** Radius of the loop that a weft makes at the edge under that pull: √(B/2T), the elastica of a turned-back end. */
function turningRadiusMm(bendingNmm2: NewtonSquareMillimetres): Millimetres {
  return Math.sqrt(bendingNmm2 / (2 * TURNING_PULL_N));
}

/**
 * Whether a weft goes round the edge into the next shed. Stems, card and rods do not and are cut each pick; wire bends in
 * the fingers and does, cords are soft enough.
 */
export function turnsAtEdge(bendingRangeNmm2: readonly [NewtonSquareMillimetres, NewtonSquareMillimetres]): boolean {
  return turningRadiusMm(Math.sqrt(bendingRangeNmm2[0] * bendingRangeNmm2[1])) <= LOOP_STANDS_OUT_MM;
}
