import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stripBendingNmm2, yarnBendingBoundsNmm2 } from '#engine/yarn/bending.ts';
import { packingFromDiameter, roundDiameterMm } from '#engine/yarn/diameter.ts';
import { fibreFactsOf } from '#engine/yarn/fibres.ts';
import { raceTrackAreaMm2, sectionHeightMm } from '#engine/yarn/section.ts';
import { beatenStrip, FOLD_OVER_STRUT, stripLay, strutFoldMm, tippingPushNPerCm } from '#engine/yarn/strip.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnFacts } from '#engine/yarn/yarnTypes.ts';
import clothStrip from '#presets/yarns/cloth-strip-20.json';
import cotton from '#presets/yarns/cotton-8-2.json';
import denim from '#presets/yarns/denim-strip-15.json';
import felt from '#presets/yarns/felt-strip-10.json';
import card from '#presets/yarns/holo-card-strip-5.json';
import film from '#presets/yarns/holo-film-strip-3x50.json';
import ldpe from '#presets/yarns/ldpe-strip-20.json';
import organza from '#presets/yarns/organza-strip-20.json';
import raffia from '#presets/yarns/raffia-5.json';
import ribbon from '#presets/yarns/ribbon-satin-6.json';
import stretch from '#presets/yarns/stretch-film-strip-10.json';
import yarnFacts from '#tests/reference/data/yarn-facts.json';

const factsOf = (record: unknown): YarnFacts => yarnFactsOf(record as YarnRecord);
const cottonFacts = factsOf(cotton);
/** Strips whose cards tell a width in the cloth that is neither flat nor rolled. */
const folded = [clothStrip, denim, felt, ldpe, organza, raffia, ribbon, stretch].map(factsOf);

describe('body of a yarn', () => {
  it('keeps contact ≤ body ≤ free, whatever is known of it (seed 3)', () => {
    const compressibility = fc.constantFrom('none', 'low', 'medium', 'high') as fc.Arbitrary<
      YarnFacts['compressibility']
    >;
    const width = fc.option(fc.double({ min: 0.05, max: 20, noNaN: true }), { nil: undefined });
    const facts = fc.record({
      tex: fc.double({ min: 5, max: 20_000, noNaN: true }),
      packingFraction: fc.double({ min: 0.02, max: 1, noNaN: true }),
      shape: fc.constantFrom('round', 'strip') as fc.Arbitrary<YarnFacts['shape']>,
      stripWidthMm: fc.double({ min: 0.1, max: 60, noNaN: true }),
      gaugeMm: fc.double({ min: 0.01, max: 1, noNaN: true }),
      contactWidthMm: width,
      freeWidthMm: width,
      compressibility,
    });
    fc.assert(
      fc.property(facts, (known) => {
        const body = yarnBody({ ...cottonFacts, ...known });
        expect(body.bodyWidthMm).toBeGreaterThanOrEqual(body.contactWidthMm);
        expect(body.freeWidthMm).toBeGreaterThanOrEqual(body.bodyWidthMm);
        expect(body.bodyHeightMm).toBeGreaterThanOrEqual(body.contactHeightMm * (1 - 1e-12));
        expect(body.contactHeightMm).toBeGreaterThan(0);
        expect(body.contactStiffnessN).toBeGreaterThan(0);
      }),
      { seed: 3, numRuns: 500 },
    );
  });

  it('a round yarn is as high as wide; a wider contact width lowers it at the same area', () => {
    const round = yarnBody(cottonFacts);
    expect(round.contactHeightMm).toBeCloseTo(round.contactWidthMm, 9);
    const flat = yarnBody({ ...cottonFacts, contactWidthMm: 1.3 * round.contactWidthMm });
    const area = (Math.PI / 4) * round.contactWidthMm ** 2;
    expect(raceTrackAreaMm2(flat.contactWidthMm, flat.contactHeightMm)).toBeCloseTo(area, 9);
  });

  it('refuses facts that cannot be, naming the yarn and the remedy', () => {
    expect(() => yarnBody({ ...cottonFacts, tex: 0 })).toThrow(/cotton-8-2.*0 tex.*above 0/);
    expect(() => yarnBody({ ...cottonFacts, packingFraction: 1.2 })).toThrow(/packing fraction 1.2/);
    expect(() => yarnBody({ ...cottonFacts, bendingNmm2: [2, 1] })).toThrow(/bending/);
    expect(() => yarnBody({ ...cottonFacts, fibreDensityGPerCm3: Number.NaN })).toThrow(/density/);
    expect(() => yarnBody({ ...cottonFacts, shape: 'strip' })).toThrow(/stripWidthMm/);
  });

  it('packing and diameter are each other’s inverse', () => {
    expect(packingFromDiameter(100, roundDiameterMm(100, 0.47, 1.31), 1.31)).toBeCloseTo(0.47, 12);
  });
});

describe('strips', () => {
  /** A fairly firm beat, of which a share presses; ends of 6 to the cm at 0.6 N, 0.4 mm high. */
  const firmNPerCm = 3.6;
  const ends = { tensionNPerCm: 3.6, endHeightMm: 0.4 };
  const press = (share: number, warp = ends) => ({ pushNPerCm: share * firmNPerCm, firmNPerCm, warp });
  const lay = (facts: YarnFacts, share: number, warp = ends) => stripLay(beatenStrip(facts, press(share, warp)));

  it('beaten harder a soft strip folds narrower and higher, its area kept, between its roll and its cut width', () => {
    const facts = factsOf(clothStrip);
    // Its card tells 3 mm fairly firmly beaten: seven layers of a 20 mm strip.
    expect(lay(facts, 1)).toMatchObject({ lies: 'folded', widthMm: 3 });
    expect(lay(facts, 1).layers).toBeCloseTo(20 / 3, 9);
    // Clamped struts buckle under a quarter of the push at twice the width (Euler 1744).
    expect(lay(facts, 1 / 4).widthMm).toBeCloseTo(6, 9);
    expect(lay(facts, 1 / 4).heightMm).toBeLessThan(0.5 * lay(facts, 1).heightMm);
    // Folded it takes the area of its mass at packing 0.42: 2500 tex of cotton.
    for (const push of [1, 1 / 4]) {
      const { widthMm, heightMm } = lay(facts, push);
      expect(raceTrackAreaMm2(widthMm, heightMm)).toBeCloseTo(2.5 / 1.52 / 0.42, 6);
    }
    expect(lay(facts, 1 / 1000)).toMatchObject({ lies: 'flat', widthMm: 20, heightMm: facts.gaugeMm });
    expect(lay(facts, 8)).toMatchObject({ lies: 'rolled' });
    expect(lay(facts, 8).widthMm).toBeCloseTo(2.23, 2);
    expect(beatenStrip(cottonFacts, press(0.1))).toBe(cottonFacts);
  });

  it('a thicker gauge folds wider, one too stiff to fold at its width lies flat, where its card has seen neither', () => {
    const { contactWidthMm: _, ...unseen } = factsOf(clothStrip);
    const ofGauge = (times: number): YarnFacts => ({
      ...unseen,
      gaugeMm: times * unseen.gaugeMm!,
      tex: times * unseen.tex,
      // A sheet's stiffness goes as the cube of its gauge.
      bendingNmm2: [times ** 3 * unseen.bendingNmm2[0], times ** 3 * unseen.bendingNmm2[1]],
    });
    const strut = (times: number) => strutFoldMm(ofGauge(times), firmNPerCm);
    // 2π√(D/P) in figures: D = √(0.1 · 0.4)/20 = 0.01 N mm, P = 0.36 N/mm (the strip's card gives 0.1 to 0.4 N mm²).
    expect(unseen.bendingNmm2).toEqual([0.1, 0.4]);
    expect(strut(1)).toBeCloseTo(2 * Math.PI * Math.sqrt(0.01 / 0.36), 9);
    expect(strut(4) / strut(1)).toBeCloseTo(8, 9);
    expect(lay(ofGauge(4), 1)).toMatchObject({ lies: 'folded', widthMm: FOLD_OVER_STRUT * strut(4) });
    expect(lay(ofGauge(8), 1)).toMatchObject({ lies: 'flat', widthMm: 20 });
    // So wide a fold leaves a narrow strip of the same stuff flat.
    const narrow = { ...ofGauge(2), stripWidthMm: 5, tex: ofGauge(2).tex / 4 };
    const cut = { ...narrow, bendingNmm2: narrow.bendingNmm2.map((value) => value / 4) as [number, number] };
    expect(strutFoldMm(cut, firmNPerCm)).toBeCloseTo(strut(2), 9);
    expect(lay(ofGauge(2), 1).lies).toBe('folded');
    expect(lay(cut, 1).lies).toBe('flat');
  });

  it('folds as wide as presets have seen them stay within a factor of five of the law and in the mean on it', () => {
    const seen = folded.map((facts) => facts.contactWidthMm! / FOLD_OVER_STRUT / strutFoldMm(facts, 3.57));
    expect(seen).toHaveLength(8);
    for (const ratio of seen) expect(Math.abs(Math.log(ratio))).toBeLessThan(Math.log(5));
    expect(seen.reduce((sum, ratio) => sum + Math.log(ratio), 0) / seen.length).toBeCloseTo(0, 1);
  });

  it('a card tips on edge in an open, slack warp beaten hard, lies flat in a close one; film never stands', () => {
    const open = { tensionNPerCm: 0.6, endHeightMm: 0.4 };
    const facts = factsOf(card);
    expect(lay(facts, 1)).toMatchObject({ lies: 'flat', widthMm: 5, heightMm: 0.3 });
    expect(lay(facts, 0.3, open).lies).toBe('flat');
    expect(lay(facts, 1.5, open)).toMatchObject({ lies: 'standing', widthMm: 0.3, heightMm: 5 });
    expect(yarnBody(beatenStrip(facts, press(1.5, open)))).toMatchObject({ contactWidthMm: 0.3, contactHeightMm: 5 });
    // Narrow strips are tipped sooner than wide ones: to tip it, thread has to be found for b²θ²/2g a step.
    const push = (stripWidthMm: number) => tippingPushNPerCm({ ...facts, stripWidthMm }, open);
    expect(push(2)).toBeLessThan(push(5));
    // A film arches and springs back before it tips.
    expect(lay(factsOf(film), 8, open)).toMatchObject({ lies: 'flat', widthMm: 3, heightMm: 0.05 });
  });

  it('the push that tips a strip is where the ends’ length, reckoned step by step, stops paying', () => {
    const facts = factsOf(card);
    const warp = { tensionNPerCm: 0.6, endHeightMm: 0.4 };
    const [b, g, h] = [5, 0.4, 0.7];
    // Of a pick at tilt θ: the end along the strip and, mean of its two steps, across the gap; the pick takes b cos θ + g.
    const overCloth = (tilt: number) => {
      const rise = b * Math.sin(tilt);
      const steps = (Math.hypot(g, rise + h) + Math.hypot(g, rise - h)) / 2;
      return b + steps - (b * Math.cos(tilt) + g);
    };
    const work = (tilt: number, push: number) => 0.6 * overCloth(tilt) + push * b * Math.cos(tilt);
    const push = tippingPushNPerCm(facts, warp);
    const tilt = 1e-3;
    expect(work(tilt, 1.01 * push)).toBeLessThan(work(0, 1.01 * push));
    expect(work(tilt, 0.99 * push)).toBeGreaterThan(work(0, 0.99 * push));
  });

  it('section height is continuous where a wide section becomes an upright one', () => {
    const area = 2;
    const circle = Math.sqrt((4 * area) / Math.PI);
    expect(sectionHeightMm(area, circle * (1 + 1e-9))).toBeCloseTo(circle, 6);
    expect(sectionHeightMm(area, circle * (1 - 1e-9))).toBeCloseTo(circle, 6);
  });
});

describe('bending bounds', () => {
  interface Entry {
    readonly id: string;
    readonly tex: number;
    readonly packing_fraction: number;
    readonly fibre_density_g_cm3: number;
    readonly bending_bounds_N_mm2: { readonly fibres_free: number; readonly fibres_locked: number };
  }
  const entries = yarnFacts.yarns as unknown as readonly Entry[];
  /** Raw cotton: 5 N/tex (Morton & Hearle 2008, Table 13.1: 3.9–7.3), fibre 0.17 tex (from memory: 0.12–0.23). */
  const [modulusNPerTex, fibreTex] = [5, 0.17];
  /** The facts print two figures. */
  const PRINTED_REL = 0.05;

  it.each(['cotton-16-2', 'cotton-8-2', 'cotton-8-4', 'cotton-4-2'])('%s: fibres free and fibres locked', (id) => {
    const entry = entries.find((candidate) => candidate.id === id)!;
    const bounds = yarnBendingBoundsNmm2(
      modulusNPerTex,
      fibreTex,
      entry.tex,
      entry.fibre_density_g_cm3,
      entry.packing_fraction,
    );
    expect(Math.abs(bounds.freeNmm2 / entry.bending_bounds_N_mm2.fibres_free - 1)).toBeLessThan(PRINTED_REL);
    expect(Math.abs(bounds.lockedNmm2 / entry.bending_bounds_N_mm2.fibres_locked - 1)).toBeLessThan(PRINTED_REL);
  });
});

describe('bending of a film', () => {
  it('lies within the range on its card: polyester film of 3.5 to 5 GPa (handbook, from memory)', () => {
    const { stripWidthMm, gaugeMm, bendingNmm2 } = factsOf(film);
    // The card prints two figures.
    const PRINTED_REL = 0.05;
    [3500, 5000].forEach((modulus, i) => {
      const ours = stripBendingNmm2(modulus, stripWidthMm!, gaugeMm!);
      expect(Math.abs(ours / bendingNmm2[i] - 1)).toBeLessThan(PRINTED_REL);
    });
  });
});

describe('fibre by its description', () => {
  it.each([
    ['mercerised cotton', 1.52],
    ['copper, silver plated', 8.9],
    ['nylon-covered elastane', 1.14],
    ['card faced with embossed aluminised film, plain white back', 0.75],
    ['wool felt', 1.31],
    ['polyethylene film', 0.95],
    ['seaweed', 1.4],
  ])('%s', (fibre, density) => {
    expect(fibreFactsOf(fibre).densityGPerCm3).toBe(density);
  });
});
