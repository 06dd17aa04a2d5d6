import { describe, expect, it } from 'vitest';
import { dielectricFresnel } from '#engine/scatter/fresnel.ts';
import { cylinderReflectance, type HairLight, hairLight, hairPhase, scaledBessel0 } from '#engine/scatter/hairPhase.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const TANGENT = [0, 0, 1];

/** Integral over the whole sphere of light's directions, by the midpoint rule in sin θ and φ. */
function returned(h: HairLight, toEye: readonly number[]): number {
  const across = 400;
  const around = 200;
  let sum = 0;
  for (let i = 0; i < across; i++) {
    const z = -1 + (2 * (i + 0.5)) / across;
    const r = Math.sqrt(1 - z * z);
    for (let j = 0; j < around; j++) {
      const phi = (2 * Math.PI * (j + 0.5)) / around;
      sum += hairPhase(h, TANGENT, toEye, [r * Math.cos(phi), r * Math.sin(phi), z]);
    }
  }
  return (sum * 4 * Math.PI) / (across * around);
}

function direction(thetaDeg: number, phi: number): number[] {
  const theta = (thetaDeg * Math.PI) / 180;
  return [Math.cos(theta) * Math.cos(phi), Math.cos(theta) * Math.sin(phi), Math.sin(theta)];
}

const fibres = [
  { name: 'cotton', optics: { eta: 1.55, surfaceWidthRad: 0.32, isotropy: 0.6 } },
  { name: 'mohair', optics: { eta: 1.55, surfaceWidthRad: 0.14, isotropy: 0.3 } },
  { name: 'filament', optics: { eta: 1.53, surfaceWidthRad: 0.05, isotropy: 0.1 } },
];

describe('a fibre in the open', () => {
  for (const { name, optics } of fibres) {
    it(`${name}: a white furnace stays white within 1 %, whatever the inclination`, () => {
      for (const theta of [0, 20, 45, 70, 85]) {
        expect(returned(hairLight(optics, 1), direction(theta, 0.4))).toBeCloseTo(1, 2);
      }
    });

    it(`${name}: returns what its albedo says where it absorbs`, () => {
      const h = hairLight(optics, 0.3);
      expect(returned(h, direction(30, 1)) / (h.surface + h.within)).toBeCloseTo(1, 2);
    });

    it(`${name}: is reciprocal to 1e-4, seed 11`, () => {
      const random = seededRandom(11);
      const h = hairLight(optics, 0.5);
      for (let k = 0; k < 2000; k++) {
        const a = direction(Math.asin(2 * random() - 1) * (180 / Math.PI), 2 * Math.PI * random());
        const b = direction(Math.asin(2 * random() - 1) * (180 / Math.PI), 2 * Math.PI * random());
        const there = hairPhase(h, TANGENT, a, b);
        expect(Math.abs(there - hairPhase(h, TANGENT, b, a))).toBeLessThanOrEqual(1e-4 * there);
      }
    });
  }

  it('lets light through: more goes on forwards than comes back', () => {
    const h = hairLight(fibres[1].optics, 0.8);
    const eye = direction(0, 0);
    expect(hairPhase(h, TANGENT, eye, direction(0, Math.PI))).toBeGreaterThan(
      2 * hairPhase(h, TANGENT, eye, direction(0, 0)),
    );
  });

  it('absorbs less than fibres lying together (Hapke 1981: a bed of albedo 0.889 returns a half)', () => {
    const h = hairLight(fibres[0].optics, 0.5);
    expect(h.within / (1 - h.surface)).toBeCloseTo(8 / 9, 6);
  });
});

describe('its parts', () => {
  it('the mean of Fresnel over a cylinder, by the integral', () => {
    for (const eta of [1.3, 1.46, 1.54, 1.6, 1.8]) {
      let sum = 0;
      const n = 20000;
      for (let k = 0; k < n; k++) sum += dielectricFresnel(Math.sqrt(1 - ((k + 0.5) / n) ** 2), eta);
      expect(Math.abs(cylinderReflectance(eta) - sum / n)).toBeLessThan(2e-4);
    }
  });

  it('the Bessel function, by its integral (1/π ∫ exp(x (cos t − 1)) dt)', () => {
    for (const x of [0, 0.5, 2, 3.74, 3.76, 10, 60]) {
      let sum = 0;
      const n = 4000;
      for (let k = 0; k < n; k++) sum += Math.exp(x * (Math.cos((Math.PI * (k + 0.5)) / n) - 1));
      expect(Math.abs(scaledBessel0(x) / (sum / n) - 1)).toBeLessThan(1e-6);
    }
  });
});
