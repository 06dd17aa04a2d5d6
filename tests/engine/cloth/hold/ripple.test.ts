import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { layRipple, rippleHeightMm, rippleLengthMm, slackStripes } from '#engine/cloth/hold/ripple.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import woolCard from '#presets/yarns/shetland-single.json';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

const bodyOf = (card: object): YarnBody => yarnBody(yarnFactsOf(card as YarnRecord));

describe('waves of a slack stripe', () => {
  it('are squares where the cloth bends alike both ways, longer where its ends are stiffer', () => {
    // A long plate held along both edges and pressed lengthwise (Timoshenko & Gere 1961, from memory): half waves as long as it
    // is wide; of a plate sixteen times as stiff along, twice as long.
    expect(rippleLengthMm(12, 0.02, 0.02)).toBe(24);
    expect(rippleLengthMm(12, 0.32, 0.02)).toBeCloseTo(48, 9);
  });

  it('take up the excess: the mean length of its ends, by their arcs', () => {
    const [excess, wavelength] = [0.03, 20];
    const height = rippleHeightMm(wavelength, excess);
    let mean = 0;
    const n = 200;
    for (let i = 0; i < n; i++) {
      const crest = height * Math.sin((Math.PI * (i + 0.5)) / n);
      let length = 0;
      for (let j = 0; j < n; j++) {
        const slope = ((2 * Math.PI) / wavelength) * crest * Math.cos((2 * Math.PI * (j + 0.5)) / n);
        length += Math.sqrt(1 + slope * slope) / n;
      }
      mean += length / n;
    }
    // To the slope's fourth power: a twentieth of 3 %.
    expect((mean - 1) / excess).toBeGreaterThan(0.93);
    expect((mean - 1) / excess).toBeLessThan(1);
    // As high as a stripe whose ends all stand alike, (λ/π)√e (Cerda & Mahadevan 2003, from memory), in the mean square.
    expect(height / Math.SQRT2).toBeCloseTo((wavelength / Math.PI) * Math.sqrt(excess), 9);
  });

  it('are found where ends have length over for some millimetres together', () => {
    const endXMm = Float64Array.from({ length: 90 }, (_, k) => k);
    const over = Float64Array.from({ length: 90 }, (_, k) => (k >= 30 && k < 45 ? 0.04 : 0.005));
    const [stripe, ...others] = slackStripes(endXMm, over);
    expect(others).toEqual([]);
    expect(Math.abs(stripe.firstEnd - 30)).toBeLessThanOrEqual(1);
    expect(Math.abs(stripe.lastEnd - 44)).toBeLessThanOrEqual(1);
    expect(stripe.widthMm).toBeGreaterThan(13);
    expect(stripe.excess).toBeGreaterThan(0.025);
    // Alternate ends that differ are no stripe.
    expect(
      slackStripes(
        endXMm,
        over.map((_, k) => 0.02 * (k % 2)),
      ),
    ).toEqual([]);
  });

  it('stand in the cloth as told, to both sides, between stripes that stay flat', () => {
    const fixture = clothFixture({
      ends: 60,
      rows: 90,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: 0.5, heightMm: 0.5 }],
      warpUp: (row, end) => ((row + end) & 1) === 0,
    });
    const over = Float64Array.from({ length: 60 }, (_, k) => (k >= 20 && k < 40 ? 0.03 : 0));
    const laid = layRipple(fixture.problem, fixture.geometry, over);
    if (!laid) throw new Error('nothing ripples');
    const { ripple, geometry } = laid;
    const middle = Array.from({ length: 90 }, (_, row) => geometry.warp.heightMm[row * 60 + 30]);
    // The yarn's own crimp stands on it.
    expect(Math.max(...middle)).toBeGreaterThan(0.8 * ripple.heightMm.value);
    expect(Math.min(...middle)).toBeLessThan(-0.8 * ripple.heightMm.value);
    const flat = Array.from({ length: 90 }, (_, row) => Math.abs(geometry.warp.heightMm[row * 60 + 5]));
    expect(Math.max(...flat)).toBeLessThan(0.5);
    let crossings = 0;
    for (let row = 1; row + 1 < 90; row++) {
      const mean = (at: number) => (middle[at - 1] + middle[at]) / 2;
      if (mean(row) * mean(row + 1) < 0) crossings++;
    }
    // Two a wave; waves wander.
    expect((crossings * ripple.wavelengthMm) / (2 * 89)).toBeGreaterThan(0.7);
    expect((crossings * ripple.wavelengthMm) / (2 * 89)).toBeLessThan(1.3);
  });
});

describe('stripes of cotton and wool in one warp, fulled', () => {
  it('pucker, and the lesser shrinker is what ripples (common practice: wool 20 to 35 %, cotton 5 to 10 %)', () => {
    const [cotton, wool] = [bodyOf(cottonCard), bodyOf(woolCard)];
    const plain = { weave: plainWeave(), rows: 60, ends: 60, endsPerCm: 7, weft: [cotton], endTensionN: 0.5 };
    const one = clothProblem({ ...plain, warp: [cotton, wool] });
    const endYarn = Uint16Array.from(one.endYarn, (_, end) => (end >= 20 && end < 40 ? 0 : 1));
    const problem = { ...one, endYarn };
    const wanted = { state: 'finished', treatment: 'fulled' } as const;
    const { readings } = finish(forecastCloth(problem, 'preview', {}, wanted));
    const { pucker, ripple } = readings;
    expect(pucker?.firstEnd).toBeGreaterThanOrEqual(18);
    expect(pucker?.lastEnd).toBeLessThanOrEqual(41);
    // A stripe 28 mm wide, drawn in: waves of about twice its width, more where ends are stiffer than picks.
    expect(ripple?.wavelengthMm).toBeGreaterThan(25);
    expect(ripple?.wavelengthMm).toBeLessThan(90);
    expect(ripple?.heightMm.value).toBeGreaterThan(1);
    expect(ripple?.heightMm.low).toBeLessThan(ripple?.heightMm.value ?? 0);
    // Of one yarn nothing ripples.
    const even = { ...one, endYarn: new Uint16Array(60) };
    expect(finish(forecastCloth(even, 'preview', {}, wanted)).readings.ripple).toBeUndefined();
  });
});
