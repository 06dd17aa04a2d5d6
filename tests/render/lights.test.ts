import { mat3 } from 'gl-matrix';
import { describe, expect, it } from 'vitest';
import {
  LIGHT_NAMES,
  LIGHTS,
  RAKING_SIDES,
  rakingLight,
  roomLuxInFront,
  TURN_SECONDS,
  turningLight,
} from '#render/lights.ts';
import { setLightUniforms, windowRadiance } from '#render/lightUniforms.ts';
import { createViewUniforms } from '#render/viewUniforms.ts';

const identity = mat3.create();

/** What the shader's room (shaders/cloth/light.glsl) and key give a white matte card, by quadrature over directions. */
function cardRadiance(uniforms: ReturnType<typeof createViewUniforms>, facing: readonly number[]): number {
  const key = uniforms.uKeyTowards.value.toArray();
  const halfAngle = Math.acos(uniforms.uKeyCosHalfAngle.value);
  const axis = uniforms.uSkyAxis.value.toArray();
  const dot = (a: readonly number[], b: readonly number[]) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const windowRadianceOverPi = uniforms.uKeyLight.value / (2 * Math.PI * (1 - Math.cos(halfAngle)));
  let sum = 0;
  // Equal areas of the sphere (a Fibonacci lattice).
  const count = 200_000;
  for (let k = 0; k < count; k++) {
    const z = 1 - (2 * k + 1) / count;
    const turn = k * Math.PI * (3 - Math.sqrt(5));
    const flat = Math.sqrt(1 - z * z);
    const direction = [flat * Math.cos(turn), flat * Math.sin(turn), z];
    const cosine = dot(direction, facing);
    if (cosine <= 0) continue;
    const room = uniforms.uSkyLight.value * (0.65 + 0.35 * dot(direction, axis));
    const window = dot(direction, key) > Math.cos(halfAngle) ? windowRadianceOverPi : 0;
    sum += (cosine * (room / Math.PI + window)) / count;
  }
  return sum * 4 * Math.PI;
}

function uniformsOf(name: (typeof LIGHT_NAMES)[number]) {
  const uniforms = createViewUniforms();
  setLightUniforms(uniforms, LIGHTS[name].light, identity);
  return uniforms;
}

describe.each(LIGHT_NAMES)('the light "%s"', (name) => {
  it('shows a white matte card that faces its key as 1, summed over directions', () => {
    const uniforms = uniformsOf(name);
    const { towards } = LIGHTS[name].light;
    const length = Math.hypot(...towards);
    // The lattice resolves the smallest lamp (0.03 rad) to some 45 points.
    expect(
      Math.abs(
        cardRadiance(
          uniforms,
          towards.map((x) => x / length),
        ) - 1,
      ),
    ).toBeLessThan(0.03);
  });

  it('states an illuminant of the CIE or an LED with its colour temperature, and a level', () => {
    expect(LIGHTS[name].illuminant).toMatch(/^(CIE (D65|D50|A)|LED, \d{4} K)$/);
    expect(LIGHTS[name].lux).toBeGreaterThanOrEqual(50);
  });
});

describe('the lights', () => {
  it('differ in what they are for', () => {
    const height = (name: (typeof LIGHT_NAMES)[number]) => {
      const { towards } = LIGHTS[name].light;
      return (Math.asin(towards[2] / Math.hypot(...towards)) * 180) / Math.PI;
    };
    // Common practice: relief shows under 10 to 30 degrees over the cloth; a gallery lamp hangs 30 degrees from upright.
    expect(height('raking')).toBeGreaterThan(10);
    expect(height('raking')).toBeLessThan(30);
    expect(height('spot')).toBeCloseTo(30, 6);
    expect(height('behind')).toBeLessThan(0);
    expect(uniformsOf('overcast').uKeyLight.value).toBe(0);
  });

  it('the raking lamp is one lamp at one height wherever it stands, as bright on a card facing it', () => {
    const degrees = (of: number) => (of * 180) / Math.PI;
    const around = RAKING_SIDES.map((side) => {
      const { light, lux, illuminant } = rakingLight(side);
      const [x, y, z] = light.towards;
      expect([lux, illuminant]).toEqual([LIGHTS.raking.lux, LIGHTS.raking.illuminant]);
      expect(degrees(Math.asin(z / Math.hypot(x, y, z)))).toBeCloseTo(19.86, 1);
      const uniforms = createViewUniforms();
      setLightUniforms(uniforms, light, identity);
      const length = Math.hypot(x, y, z);
      // As for every light: what the lattice resolves of a small lamp.
      expect(Math.abs(cardRadiance(uniforms, [x / length, y / length, z / length]) - 1)).toBeLessThan(0.03);
      return degrees(Math.atan2(y, x));
    });
    // Left and right of the eye, and above; each within the lamp's small lift of it.
    [180, 0, 90].forEach((from, k) => {
      expect(Math.abs(around[k] - from)).toBeLessThan(8);
    });
  });

  it('held to the window, cloth is seen against light that is white or more, and by a tenth of it in front', () => {
    const { light, lux } = LIGHTS.behind;
    expect(windowRadiance(light)).toBeGreaterThanOrEqual(1);
    const front = cardRadiance(uniformsOf('behind'), [0, 0, 1]);
    // The key stands wholly behind a card that faces the eye; 0.01 is what the lattice resolves.
    expect(Math.abs(front - roomLuxInFront(LIGHTS.behind) / lux)).toBeLessThan(0.01);
    expect(front).toBeLessThan(0.15);
    expect(front).toBeGreaterThan(0.05);
  });

  it('the turning one leaves the brightness of flat cloth alone, so that nothing flashes', () => {
    const { towards } = turningLight(0);
    const steps = 120;
    for (let k = 0; k < steps; k++) {
      const now = turningLight(k / steps).towards;
      expect(now[2]).toBeCloseTo(towards[2], 9);
      // Under 3 general flashes a second (WCAG 2.2, 2.3.1): a turn swings light and dark once in this time.
      const before = turningLight((k - 1) / steps).towards;
      const apart = Math.acos(now[0] * before[0] + now[1] * before[1] + now[2] * before[2]);
      expect(apart / (TURN_SECONDS / steps)).toBeLessThan((2 * Math.PI) / 10);
    }
    expect(turningLight(1).towards[0]).toBeCloseTo(towards[0], 9);
  });
});
