import { describe, expect, test } from 'vitest';
import { toClothProblem } from '#document/toClothProblem.ts';
import { leastBendRadiusMm, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import { sample } from '#tests/presets/presetFiles.ts';

/**
 * Radius at the upper end of an elastic strip that hangs straight and lies level above, found without the first integral: the
 * equation of the elastica, B φ″ = T sin φ, shot from the hanging end, where φ is as good as 0, until it lies level.
 */
function shotRadiusMm(stiffness: number, tension: number): number {
  const length = Math.sqrt(stiffness / tension);
  let phi = 1e-6;
  let curvature = phi / length;
  const step = length / 2000;
  while (phi < Math.PI / 2) {
    const half = curvature + (step / 2) * (tension / stiffness) * Math.sin(phi);
    phi += step * half;
    curvature = half + (step / 2) * (tension / stiffness) * Math.sin(phi);
  }
  return 1 / curvature;
}

describe('how tightly a cloth bends by its own weight', () => {
  test.each([
    [0.02, 250, 60],
    [0.2, 900, 40],
    [1.5, 400, 120],
  ])('B %f N mm, %f g/m², %f mm hanging: as the equation itself gives', (stiffness, grams, hanging) => {
    const tension = grams * 9.80665e-9 * hanging;
    expect(leastBendRadiusMm(stiffness, grams, hanging)).toBeCloseTo(shotRadiusMm(stiffness, tension), 2);
  });

  test('half as tight for a quarter of the weight; limp cloth takes any edge', () => {
    const radius = leastBendRadiusMm(0.05, 400, 50);
    expect(leastBendRadiusMm(0.05, 100, 50)).toBeCloseTo(2 * radius, 9);
    expect(leastBendRadiusMm(0, 400, 50)).toBe(0);
    expect(leastBendRadiusMm(0.05, 400, 0)).toBe(Number.POSITIVE_INFINITY);
  });

  // 24 ends of 20/2 cotton a cm, each 0.0034–0.02 N mm² by its card.
  test('boat paint: as stiff as its ends together', () => {
    const stiffness = warpwiseStiffnessNmm(toClothProblem(sample('boat-paint')).problem);
    expect(stiffness).toBeGreaterThan(2.4 * 0.0034);
    expect(stiffness).toBeLessThan(2.4 * 0.02 * (256 / 255));
  });
});
