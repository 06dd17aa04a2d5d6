import { describe, expect, it } from 'vitest';
import { NEWTON_PER_MM2_PER_GSM } from '#engine/cloth/bendRadius.ts';
import { curlTurnRad } from '#engine/cloth/hold/curlTurn.ts';

describe('how far the edge of a free cloth rolls', () => {
  // Energy of a mm of width with s mm rolled up to a radius R: −½B s/R² and the weight lifted, w ∫ R (1 − cos(t/R)) dt.
  it('is where rolling further costs as much as it gives (least energy, summed step by step)', () => {
    const [stiffness, weight, radius] = [0.015, 220, 18];
    const w = weight * NEWTON_PER_MM2_PER_GSM;
    const step = 1e-3;
    let energy = 0;
    let least = { energy: 0, turn: 0 };
    for (let s = step; s < Math.PI * radius; s += step) {
      energy += step * (w * radius * (1 - Math.cos(s / radius)) - stiffness / (2 * radius * radius));
      if (energy < least.energy) least = { energy, turn: s / radius };
    }
    expect(least.turn).toBeGreaterThan(0.2);
    expect(curlTurnRad(stiffness, weight, radius)).toBeCloseTo(least.turn, 3);
  });

  it('is less for heavy cloth and wide rolls, and without end for light and tight ones', () => {
    const turn = curlTurnRad(0.015, 220, 18);
    expect(curlTurnRad(0.015, 440, 18)).toBeLessThan(turn);
    expect(curlTurnRad(0.015, 220, 30)).toBeLessThan(turn);
    expect(curlTurnRad(0.015, 220, 5)).toBe(Number.POSITIVE_INFINITY);
  });
});
