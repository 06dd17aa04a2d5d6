import { describe, expect, it } from 'vitest';
import { type CurveNodes, curveHeight, curveLength } from '#engine/cloth/curve.ts';
import { pathFromHeight } from '#engine/cloth/peirce/peirce.ts';

const CHORDS = 2000;

function span(
  z: readonly [number, number],
  slope: readonly [number, number],
  wrap: readonly [number, number],
): CurveNodes {
  return { heightMm: z, slope, wrapStartMm: [wrap[0], 0], wrapEndMm: [wrap[1], 0] };
}

/** By many chords: nothing of the engine's own quadrature. */
function chords(curve: CurveNodes, pitchMm: number): number {
  let length = 0;
  for (let k = 0; k < CHORDS; k++) {
    const rise = curveHeight(curve, 0, 1, pitchMm, (k + 1) / CHORDS) - curveHeight(curve, 0, 1, pitchMm, k / CHORDS);
    length += Math.hypot(pitchMm / CHORDS, rise);
  }
  return length;
}

describe('length of a thread between two crossings', () => {
  it('is the chord of a straight one', () => {
    const slope = 0.7;
    const straight = span([0, 0.8 * slope], [slope, slope], [0, 0]);
    expect(curveLength(straight, 0, 1, 0.8)).toBeCloseTo(0.8 * Math.hypot(1, slope), 6);
  });

  it('is within two thousandths of the pitch from level to the steepest that tight cloth asks for, wraps and all', () => {
    for (const rise of [0.02, 0.1, 0.3, 0.6, 0.8])
      for (const slope of [-0.3, 0, 0.3, 0.6])
        for (const wrap of [0, 0.2, 1, 2, 4]) {
          const curve = span([rise / 2, -rise / 2], [slope, slope], [wrap * rise, -wrap * rise]);
          const error = Math.abs(curveLength(curve, 0, 1, 0.8) - chords(curve, 0.8)) / 0.8;
          expect(error, `rise ${rise}, slope ${slope}, wrap ${wrap}`).toBeLessThan(2e-3);
        }
  });

  it('is never less than arc, straight, arc round the same sections (F. T. Peirce 1937), and little more where no wrap is asked for', () => {
    for (const h of [0.1, 0.2, 0.3]) {
      const own = curveLength(span([h / 2, -h / 2], [0, 0], [0, 0]), 0, 1, 1);
      const shortest = pathFromHeight(1, h, 0.6).lengthMm;
      expect(own).toBeGreaterThan(shortest);
      expect((own - 1) / (shortest - 1)).toBeLessThan(1.25);
    }
  });
});
