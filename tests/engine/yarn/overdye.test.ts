import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type LinearRgb, labFromLinear, linearFromHex } from '#engine/colour/colour.ts';
import { type DyeClass, yarnUptake } from '#engine/yarn/dyeUptake.ts';
import { fibreParts } from '#engine/yarn/fibreParts.ts';
import { absorptionRatio, dyedColour, overdyed, reflectanceOfRatio } from '#engine/yarn/overdye.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { cottonCard } from '#tests/document/smallSample.ts';

const classes: readonly DyeClass[] = ['fibreReactive', 'direct', 'vat', 'acid', 'basic', 'disperse'];
const yarn = (fibre: string, more: Partial<YarnRecord> = {}) =>
  ({ ...cottonCard('buoy', '#e8e0d0'), fibre, name: fibre, ...more }) as YarnRecord;
const share = (fibre: string, dye: DyeClass, more: Partial<YarnRecord> = {}) =>
  yarnUptake(yarn(fibre, more), dye).share;

describe('absorption', () => {
  // G. Kortüm 1969, Reflectance Spectroscopy (tables of F(R)), from memory.
  test.each([
    [0.5, 0.25],
    [0.2, 1.6],
    [0.1, 4.05],
    [0.8, 0.025],
  ])('K/S of reflectance %f is %f, as tabled', (reflectance, ratio) => {
    expect(absorptionRatio(reflectance)).toBeCloseTo(ratio, 9);
    expect(reflectanceOfRatio(ratio)).toBeCloseTo(reflectance, 9);
  });

  /**
   * The layer itself: light down i and up j in a layer that absorbs K and scatters S, dR/dx = S − 2 (K + S) R + S R²
   * (Kubelka & Munk 1931, eq. for R over a black ground), followed until it no longer shows the ground.
   */
  function reflectanceOfThickLayer(absorbing: number, scattering: number): number {
    let r = 0;
    const step = 1e-3 / (absorbing + scattering);
    for (let k = 0; k < 60_000; k++) {
      r += step * (scattering - 2 * (absorbing + scattering) * r + scattering * r * r);
    }
    return r;
  }

  test.each([
    [0.7, 0.3],
    [0.4, 0.15],
    [0.85, 0.5],
  ])('a dye of %f on a yarn of %f, against light followed through the layer', (dye, ground) => {
    const found = dyedColour([ground, ground, ground], { colour: [dye, dye, dye], depth: 1 }, 1)[0];
    const layer = reflectanceOfThickLayer(absorptionRatio(dye) + absorptionRatio(ground), 1);
    expect(found).toBeCloseTo(layer, 4);
  });

  const unit = fc.double({ min: 0, max: 1, noNaN: true });
  const colour: fc.Arbitrary<LinearRgb> = fc.tuple(unit, unit, unit);

  test('never lighter, darker with depth and with uptake, and the order of two baths is one (seed 4117)', () => {
    fc.assert(
      fc.property(colour, colour, colour, unit, (ground, first, second, uptake) => {
        const bath = { colour: first, depth: 1 };
        const deep = { colour: first, depth: 2 };
        const other = { colour: second, depth: 0.7 };
        const once = dyedColour(ground, bath, uptake);
        const more = dyedColour(ground, deep, uptake);
        const ab = dyedColour(dyedColour(ground, bath, uptake), other, uptake);
        const ba = dyedColour(dyedColour(ground, other, uptake), bath, uptake);
        for (const k of [0, 1, 2] as const) {
          expect(once[k]).toBeLessThanOrEqual(ground[k]);
          expect(more[k]).toBeLessThanOrEqual(once[k]);
          expect(Math.abs(ab[k] - ba[k])).toBeLessThan(1e-9);
        }
      }),
      { seed: 4117, numRuns: 2000 },
    );
  });

  test('two baths of half the dye are one of the whole', () => {
    const half = { colour: linearFromHex('#2d6f8f'), depth: 0.5 };
    const ground = linearFromHex('#e9dfc8');
    const twice = dyedColour(dyedColour(ground, half, 1), half, 1);
    const once = dyedColour(ground, { ...half, depth: 1 }, 1);
    for (const k of [0, 1, 2] as const) expect(twice[k]).toBeCloseTo(once[k], 12);
  });

  test('blue over yellow goes green, blue over red towards purple-black (common practice)', () => {
    const blue = { colour: linearFromHex('#3f8fd0'), depth: 1 };
    const [, greenA] = labFromLinear(dyedColour(linearFromHex('#f2d13c'), blue, 1));
    const red = labFromLinear(dyedColour(linearFromHex('#c8322b'), blue, 1));
    expect(greenA).toBeLessThan(-10);
    expect(red[0]).toBeLessThan(30);
  });
});

describe('which yarns take which dye', () => {
  // Common practice: A. D. Broadbent 2001, from memory.
  test.each<[string, DyeClass, number]>([
    ['cotton', 'fibreReactive', 1],
    ['mercerised cotton', 'direct', 1],
    ['linen', 'vat', 1],
    ['viscose', 'fibreReactive', 1],
    ['lyocell', 'direct', 1],
    ['paper', 'direct', 1],
    ['merino wool', 'acid', 1],
    ['mohair', 'acid', 1],
    ['silk', 'acid', 1],
    ['nylon', 'acid', 1],
    ['polyester', 'disperse', 1],
    ['acetate', 'disperse', 1],
    ['acrylic', 'basic', 1],
    ['cotton', 'acid', 0],
    ['cotton', 'disperse', 0],
    ['polyester', 'acid', 0],
    ['polyester', 'fibreReactive', 0],
    ['acrylic', 'fibreReactive', 0],
  ])('%s in %s dye: %d', (fibre, dye, whole) => {
    expect(share(fibre, dye)).toBe(whole);
  });

  test('film, foil and wire take none, clear nylon line takes acid dye', () => {
    for (const dye of classes) {
      expect(share('polyester film, aluminised, lacquered', dye, { lustre: 'film' })).toBe(0);
      expect(share('film on viscose 75-150 den', dye, { lustre: 'film' })).toBe(0);
      expect(share('copper', dye, { lustre: 'metal' })).toBe(0);
      expect(share('polyethylene film', dye, { lustre: 'clear' })).toBe(0);
    }
    expect(share('nylon', 'acid', { lustre: 'clear' })).toBe(1);
  });

  test('blends take it by share', () => {
    expect(fibreParts('60 % cotton, 40 % polyester')).toEqual([
      { fibre: 'cotton', share: 0.6 },
      { fibre: 'polyester', share: 0.4 },
    ]);
    expect(fibreParts('cotton jersey (often 5% elastane)')).toEqual([
      { fibre: 'cotton', share: 0.95 },
      { fibre: 'elastane', share: 0.05 },
    ]);
    expect(fibreParts('polyester or silk organza').map(({ fibre }) => fibre)).toEqual(['polyester']);
    expect(share('60 % cotton, 40 % polyester', 'fibreReactive')).toBeCloseTo(0.6, 9);
    expect(share('silk + stainless steel', 'acid')).toBe(0.5);
    expect(share('cottolin', 'fibreReactive')).toBe(1);
  });

  test('colours along a yarn are dyed as well; a yarn that takes nothing is the same card', () => {
    const bath = { dye: 'acid', colour: linearFromHex('#2d6f8f'), depth: 1 } as const;
    const stops = [
      { atMm: 0, colour: '#ffffff' },
      { atMm: 300, colour: '#f2d13c' },
    ];
    const wool = yarn('wool', { colourRepeat: { lengthMm: 600, startMm: 0, stops } });
    const dyed = overdyed(wool, bath);
    expect(dyed.colourRepeat?.stops[0].colour).toBe('#2d6f8f');
    expect(dyed.colourRepeat?.stops[1].colour).not.toBe('#f2d13c');
    expect(overdyed(yarn('wool', { plyColours: ['#ffffff', '#f2d13c'] }), bath).plyColours?.[0]).toBe('#2d6f8f');
    const blend = [
      { colour: '#ffffff', share: 0.5 },
      { colour: '#808080', share: 0.5 },
    ];
    expect(overdyed(yarn('wool', { blend }), bath).blend?.[0]).toEqual({ colour: '#2d6f8f', share: 0.5 });
    const print = { motifMm: 3, colours: blend };
    const printed = overdyed(yarn('wool', { print }), bath).print;
    expect(printed).toEqual({
      motifMm: 3,
      colours: overdyed(yarn('wool', { blend }), bath).blend,
    });
    const back = { coneColour: '#ffffff', lustre: 'matte' } as const;
    expect(overdyed(yarn('wool', { back }), bath).back).toEqual({ coneColour: '#2d6f8f', lustre: 'matte' });
    const cotton = yarn('cotton');
    expect(overdyed(cotton, bath)).toBe(cotton);
  });
});
