import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';

/** Figures of one end over a repeat at no tension, worked out from its nodes by the cubic beam between them. */
export interface BeamFigures {
  readonly heights: number[];
  readonly slopes: number[];
  /** Bending moment B·z″ at each node. */
  readonly moments: number[];
  readonly forces: number[];
  /** ½∫B z″² over the repeat. */
  readonly bendingEnergy: number;
  /** ½∫z′² over the repeat, by its length. */
  readonly crimp: number;
  readonly largestSlope: number;
  readonly highest: number;
}

/** Enough to place a largest slope or a highest point of a cubic within 1e-6 of its value. */
const SAMPLES = 2000;

export function crossedHeights(problem: HeightsProblem, s: HeightsSolution, end: number): BeamFigures {
  const { rows, ends } = problem;
  const B = problem.endBendingNmm2[end];
  const p = problem.rowYMm[1] - problem.rowYMm[0];
  const column = (values: Float64Array) => Array.from({ length: rows }, (_, j) => values[j * ends + end]);
  const heights = column(s.warpHeightMm);
  const slopes = column(s.warpSlope);
  const moments: number[] = [];
  let energy = 0;
  let crimp = 0;
  let largestSlope = 0;
  let highest = -Infinity;
  for (let j = 0; j < rows; j++) {
    const k = (j + 1) % rows;
    const rise = heights[k] - heights[j];
    // z = z0 + s0·y + c·y² + d·y³ between the nodes.
    const c = (3 * rise) / p ** 2 - (2 * slopes[j] + slopes[k]) / p;
    const d = (-2 * rise) / p ** 3 + (slopes[j] + slopes[k]) / p ** 2;
    moments.push(2 * B * c);
    energy += 0.5 * B * (4 * c * c * p + 12 * c * d * p ** 2 + 12 * d * d * p ** 3);
    const a = slopes[j];
    crimp +=
      0.5 *
      (a * a * p +
        2 * a * c * p ** 2 +
        ((4 * c * c + 6 * a * d) * p ** 3) / 3 +
        3 * c * d * p ** 4 +
        (9 * d * d * p ** 5) / 5);
    for (let q = 0; q <= SAMPLES; q++) {
      const y = (p * q) / SAMPLES;
      largestSlope = Math.max(largestSlope, Math.abs(a + 2 * c * y + 3 * d * y * y));
      highest = Math.max(highest, heights[j] + a * y + c * y * y + d * y ** 3);
    }
  }
  return {
    heights,
    slopes,
    moments,
    forces: column(s.contactForceN),
    bendingEnergy: energy,
    crimp: crimp / (rows * p),
    largestSlope,
    highest,
  };
}
