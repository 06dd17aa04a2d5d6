import { describe, expect, it } from 'vitest';
import { SpanPush } from '#engine/cloth/sideways/spanPush.ts';

const out = { forceN: 0, fallNPerMm: 0 };

describe('how hard a thread that dives between two others pushes them apart', () => {
  it('taut: its pull less the part along the cloth, T (1 − cos θ)', () => {
    // Balance of forces on a string round two pegs (statics): outside the pegs it runs level, between them at θ.
    const push = new SpanPush(1e-7, 0.4, 1);
    for (const degrees of [2, 5, 10]) {
      const slope = Math.tan((degrees * Math.PI) / 180);
      // So limp a thread bends at its pegs alone; level outside, half way through its bend at the node.
      push.at(1, [0, slope], [slope / 2, slope / 2], 0, 1, out);
      expect(out.forceN / (0.4 * (1 - Math.cos(Math.atan(slope))))).toBeCloseTo(1, 1);
    }
  });

  it('stiff: 18 B h²/p⁴ between level ends, from 6 B h²/p³ of beam theory', () => {
    const push = new SpanPush(0.02, 0, 1.3);
    push.at(1.3, [-0.2, 0.3], [0, 0], 0, 1, out);
    expect(out.forceN / ((18 * 0.02 * 0.25) / 1.3 ** 4)).toBeCloseTo(1, 2);
    // It falls as the fifth power of the span.
    expect(out.fallNPerMm / ((72 * 0.02 * 0.25) / 1.3 ** 5)).toBeGreaterThan(0.8);
    expect(out.fallNPerMm / ((72 * 0.02 * 0.25) / 1.3 ** 5)).toBeLessThan(1);
  });

  it('a level thread does not push', () => {
    new SpanPush(0.02, 0.3, 1).at(0.8, [0.4, 0.4], [0, 0], 0, 1, out);
    expect(out.forceN).toBeCloseTo(0, 12);
  });

  it('a taut float between two dives draws what lies under it together', () => {
    const push = new SpanPush(1e-4, 0.4, 1);
    push.at(1, [0.2, 0.2], [0.3, -0.3], 0, 1, out);
    expect(out.forceN).toBeLessThan(0);
  });
});
