import { gaussLegendre } from '#engine/scatter/quadrature.ts';

/** What a row of touching round Lambert yarns, resting on a plane of the same, shows from above under an even sky of 1. */
export interface TouchingTurns {
  /** Mean share of the sky over the width seen, single bounce. */
  readonly skyShare: number;
  /** The same over the upper arc. */
  readonly arcMeanSky: number;
  /** Mean radiance seen from above. */
  radiance(reflectance: number): number;
}

const COUNT = 96;

/**
 * Radiosity in the plane: the right half of one yarn's upper arc and the left half of the next face each other, alike by
 * symmetry, and touch below, so that a ray from one meets the other or the sky. Arc angle a from the top, 0..π/2.
 *
 * From the point at a, directions are taken by the sine of their angle to the normal (cosine-weighted in two dimensions:
 * form factor dF = d(sin)/2), and each is followed to the circle of radius 1 at distance 2.
 */
export function touchingTurns(): TouchingTurns {
  const { nodes: arc, weights } = gaussLegendre(COUNT, 0, Math.PI / 2);
  const rays = gaussLegendre(COUNT, -1, 1);
  const sky = new Float64Array(COUNT);
  // Share of a's view that meets the neighbour's point at arc[k], by linear weights.
  const meets = new Float64Array(COUNT * COUNT);
  for (let a = 0; a < COUNT; a++) {
    const px = Math.sin(arc[a]);
    const py = Math.cos(arc[a]);
    for (let r = 0; r < COUNT; r++) {
      const sine = rays.nodes[r];
      const cosine = Math.sqrt(1 - sine * sine);
      const dx = px * cosine + py * sine;
      const dy = py * cosine - px * sine;
      const ox = px - 2;
      const b = ox * dx + py * dy;
      const disc = b * b - (ox * ox + py * py - 1);
      const share = 0.5 * rays.weights[r];
      const t = disc > 0 ? -b - Math.sqrt(disc) : -1;
      if (t <= 1e-12 || dx <= 0) {
        sky[a] += share;
        continue;
      }
      const hit = Math.atan2(-(ox + t * dx), py + t * dy);
      spread(meets, a, arc, Math.min(Math.PI / 2, Math.max(0, hit)), share);
    }
  }
  const mean = (values: ArrayLike<number>, weight: (a: number) => number): number => {
    let sum = 0;
    let all = 0;
    for (let a = 0; a < COUNT; a++) {
      sum += values[a] * weight(a) * weights[a];
      all += weight(a) * weights[a];
    }
    return sum / all;
  };
  const seenFromAbove = (a: number): number => Math.cos(arc[a]);
  return {
    skyShare: mean(sky, seenFromAbove),
    arcMeanSky: mean(sky, () => 1),
    radiance(reflectance) {
      let light = sky.map((share) => reflectance * share);
      for (let pass = 0; pass < 2000; pass++) {
        let moved = 0;
        const next = light.map((_, a) => {
          let sum = sky[a];
          for (let k = 0; k < COUNT; k++) sum += meets[a * COUNT + k] * light[k];
          moved = Math.max(moved, Math.abs(reflectance * sum - light[a]));
          return reflectance * sum;
        });
        light = next;
        if (moved < 1e-10) break;
      }
      return mean(light, seenFromAbove);
    },
  };
}

function spread(matrix: Float64Array, row: number, nodes: Float64Array, at: number, share: number): void {
  let k = 0;
  while (k < COUNT - 2 && at > nodes[k + 1]) k++;
  const part = Math.min(1, Math.max(0, (at - nodes[k]) / (nodes[k + 1] - nodes[k])));
  matrix[row * COUNT + k] += share * (1 - part);
  matrix[row * COUNT + k + 1] += share * part;
}
