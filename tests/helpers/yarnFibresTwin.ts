import { fract, modulo, units } from './yarnNoiseTwin.ts';

/** Twin of `fibresAt` of `shaders/yarn/plies.glsl`. */

/** How far two sets of fibres cross, over a fibre's width in its length. */
const FIBRES_CROSS = 3;
/** Of a round fibre's slope, what is left of it. */
const FIBRE_SLOPE = 0.8;
const GOLDEN_STEP = 0.6180339887;

export interface Lying {
  readonly slope: number;
  readonly height: number;
  /** In standard deviations. */
  readonly lean: number;
}

/**
 * @param across in fibres' widths @param along in their lengths
 * @param lanes fibres round the thread
 */
export function fibresAt(across: number, along: number, lanes: number, seed: number): Lying {
  const sets = [FIBRES_CROSS * along, -FIBRES_CROSS * along].map((askew, set): Lying => {
    const x = across + askew;
    const [begun, high, lean] = units(modulo(Math.floor(x), lanes), seed, set);
    const y = along + begun;
    const a = 2 * fract(x) - 1;
    const l = 2 * fract(y) - 1;
    const height = (0.35 + 0.65 * fract(high + GOLDEN_STEP * Math.floor(y))) * (1 - 0.7 * a * a) * (1 - l * l);
    return {
      slope: -FIBRE_SLOPE * a,
      height,
      lean: Math.sqrt(3) * (2 * fract(lean + GOLDEN_STEP * Math.floor(y)) - 1),
    };
  });
  return sets[1].height > sets[0].height ? sets[1] : sets[0];
}
