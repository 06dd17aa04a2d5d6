import { describe, expect, it } from 'vitest';
import { CHANNEL_MIDDLE_UM, GRATING_SHARE, ORDER_SHARES, orderSine } from '#engine/scatter/grating.ts';
import { caseById, expectWithin } from '#tests/reference/cases.ts';
import { type Direction, direction, FacetBench } from './lightBench.ts';

const film = (pitch: number) =>
  new FacetBench({ kind: 'metal', roughness: 0.03, coatEta: 1, metalReflectance: 1, gratingPitchUm: pitch });
const CLEAR: Direction = [1, 1, 1];

/** Light returned of an even room of radiance 1, each channel. */
function returned(bench: FacetBench, toEye: Direction): number[] {
  const sum = [0, 0, 0];
  // du dv = cos θ dω: directions on a square grid of their sines.
  const n = 500;
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) {
      const x = (2 * (a + 0.5)) / n - 1;
      const y = (2 * (b + 0.5)) / n - 1;
      if (x * x + y * y >= 1) continue;
      const f = bench.brdf([x, y, Math.sqrt(1 - x * x - y * y)], toEye, CLEAR);
      for (let c = 0; c < 3; c++) sum[c] += (f[c] * 4) / (n * n);
    }
  }
  return sum;
}

describe('holographic film', () => {
  it.each(['OP-23', 'OP-24'])('%s: orders of the grating equation, those that exist and no others', (id) => {
    const { inputs, expected, tolerance } = caseById<
      { d_um: number; wavelength_nm: number[] },
      { theta_deg_by_order: number[][]; orders_each_side: number[] }
    >('appearance', id);
    inputs.wavelength_nm.forEach((nm, k) => {
      const angles = [1, 2, 3, 4]
        .map((order) => (Math.asin(orderSine(inputs.d_um, order, nm / 1000, 0)) * 180) / Math.PI)
        .filter((angle) => !Number.isNaN(angle));
      expect(angles.length).toBe(expected.orders_each_side[k]);
      angles.forEach((angle, order) => {
        expectWithin(angle, expected.theta_deg_by_order[k][order], tolerance, `${nm} nm, order ${order + 1}`);
      });
    });
  });

  it('1 µm ruling, light from above: the first order runs from violet to red between 23.6 and 44.4°', () => {
    expect((Math.asin(orderSine(1, 1, 0.4, 0)) * 180) / Math.PI).toBeCloseTo(23.6, 1);
    expect((Math.asin(orderSine(1, 1, 0.7, 0)) * 180) / Math.PI).toBeCloseTo(44.4, 1);
    const bench = film(1);
    const brightest = [0, 1, 2].map((channel) => {
      let best = 10;
      let most = 0;
      for (let polar = 10; polar < 50; polar += 0.25) {
        const value = bench.brdf(direction(0, 0), direction(polar, 0), CLEAR)[channel];
        if (value > most) [most, best] = [value, polar];
      }
      return best;
    });
    brightest.forEach((polar, channel) => {
      const expected = (Math.asin(orderSine(1, 1, CHANNEL_MIDDLE_UM[channel], 0)) * 180) / Math.PI;
      expect(Math.abs(polar - expected), `channel ${channel}`).toBeLessThan(1);
    });
  });

  it('no order takes more than a sinusoidal grating can give, and the shares leave light for the mirror', () => {
    for (const share of ORDER_SHARES) expect(share).toBeLessThanOrEqual(0.339);
    expect(GRATING_SHARE).toBeLessThan(1);
  });

  it('of a coarse ruling, whose orders all leave above the surface, returns all light within 1 %', () => {
    for (const channel of returned(film(4), direction(0, 0))) expect(Math.abs(channel - 1)).toBeLessThan(0.01);
  });

  // Efficiencies of the orders that exist sum to 1 on a perfect conductor (Petit 1980), whichever of them do.
  it.each([
    [0, 0],
    [30, 0],
    [30, 45],
    [55, 20],
    [55, 0],
    [70, 0],
    [35, 90],
  ])(
    'of 1 µm seen from %i°, %i° from across the ruling, returns all light, though orders are below the surface',
    (polar, azimuth) => {
      returned(film(1), direction(polar, azimuth)).forEach((channel, c) => {
        expect(Math.abs(channel - 1), `channel ${c}`).toBeLessThan(0.03);
      });
    },
  );

  it('across the ruling it is dark where along it shines in colours', () => {
    const bench = film(1.2);
    const along = [...bench.brdf(direction(0, 0), direction(30, 0), CLEAR)];
    const across = [...bench.brdf(direction(0, 0), direction(30, 90), CLEAR)];
    expect(Math.max(...along)).toBeGreaterThan(100 * Math.max(...across));
    expect(Math.max(...along)).toBeGreaterThan(3 * Math.min(...along));
  });
});
