import { describe, expect, it } from 'vitest';
import { createNearest, nearestOnEllipse } from '#engine/cloth/apart/nearestOnEllipse.ts';

describe('the nearest place of an ellipse', () => {
  // A point d out along the normal at (a cos t, b sin t) is d away, as long as d is above the least radius of curvature within.
  for (const [a, b] of [
    [1, 1],
    [1, 0.5],
    [0.3, 0.9],
    [2, 0.4],
  ])
    it(`semi-axes ${a} and ${b}: within 1 % of the larger, outside and a little inside, in every quarter`, () => {
      const out = createNearest();
      const least = Math.min(a, b) ** 2 / Math.max(a, b);
      for (let k = 0; k < 40; k++) {
        const t = (2 * Math.PI * k) / 40;
        const along = Math.hypot(Math.cos(t) / a, Math.sin(t) / b);
        const nx = Math.cos(t) / a / along;
        const ny = Math.sin(t) / b / along;
        for (const d of [-0.4 * least, 0, 0.1, 1]) {
          nearestOnEllipse(out, a * Math.cos(t) + d * nx, b * Math.sin(t) + d * ny, a, b);
          expect(Math.abs(out.distance - d), `${k}, ${d}`).toBeLessThan(0.01 * Math.max(a, b));
          expect(Math.hypot(out.normalX, out.normalY)).toBeCloseTo(1, 9);
        }
      }
    });
});
