import type { LinearRgb } from '#engine/colour/colour.ts';

/**
 * Cone colour that a smooth yarn shows as brightly as chenille pile of the second cone colour does: path-traced pile,
 * square-on in even light, over a smooth yarn there (measured once: docs/measurements.md). Upright fibres take light in
 * along themselves and let little of it out, so that pile of a dyed fibre looks darker and deeper than the fibre.
 */
const SHOWN_AND_OWN: readonly (readonly [number, number])[] = [
  [0.0063, 0.004],
  [0.0116, 0.0356],
  [0.13, 0.2016],
  [0.471, 0.503],
  [0.87, 1],
];

/**
 * The cone colour that pile's fibres would have as a smooth yarn, from that which a cone of the piled yarn shows. What is
 * darker than pile's own surface, or paler than white pile, is taken as the nearest that can be.
 * @param shown linear light, 0..1
 */
export function pileFibreColour(shown: LinearRgb): LinearRgb {
  return [ownOf(shown[0]), ownOf(shown[1]), ownOf(shown[2])];
}

function ownOf(shown: number): number {
  let k = 1;
  while (k < SHOWN_AND_OWN.length - 1 && shown > SHOWN_AND_OWN[k][0]) k++;
  const [s0, o0] = SHOWN_AND_OWN[k - 1];
  const [s1, o1] = SHOWN_AND_OWN[k];
  const share = Math.log(Math.max(shown, 1e-6) / s0) / Math.log(s1 / s0);
  return o0 * (o1 / o0) ** Math.min(1, Math.max(0, share));
}
