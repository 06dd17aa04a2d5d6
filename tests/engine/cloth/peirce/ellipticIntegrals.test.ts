import { describe, expect, it } from 'vitest';
import { carlsonRD, carlsonRF, ellipticE, ellipticF } from '#engine/cloth/peirce/ellipticIntegrals.ts';

/** Composite Simpson: independent of Carlson's duplication; 2 000 panels leave under 1e-11 for these integrands. */
function simpson(f: (x: number) => number, from: number, to: number): number {
  const panels = 2000;
  const step = (to - from) / panels;
  let sum = f(from) + f(to);
  for (let i = 1; i < panels; i++) sum += (i % 2 === 1 ? 4 : 2) * f(from + i * step);
  return (sum * step) / 3;
}

const QUADRATURE = 9;

describe('elliptic integrals', () => {
  it('agree with quadrature of their definitions', () => {
    for (const k of [0, 0.3, 0.7, 0.95]) {
      for (const phi of [0.2, 0.9, 1.4, Math.PI / 2]) {
        const root = (t: number) => Math.sqrt(1 - (k * Math.sin(t)) ** 2);
        expect(ellipticF(phi, k)).toBeCloseTo(
          simpson((t) => 1 / root(t), 0, phi),
          QUADRATURE,
        );
        expect(ellipticE(phi, k)).toBeCloseTo(simpson(root, 0, phi), QUADRATURE);
      }
    }
  });

  it('meet the values printed by B. C. Carlson 1995, Numer. Algorithms 10, 13 (from memory)', () => {
    expect(carlsonRF(1, 2, 0)).toBeCloseTo(1.3110287771461, 12);
    expect(carlsonRD(0, 2, 1)).toBeCloseTo(1.7972103521034, 12);
    expect(carlsonRD(2, 3, 4)).toBeCloseTo(0.16510527294261, 12);
  });
});
