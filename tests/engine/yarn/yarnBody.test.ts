import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stripBendingNmm2, yarnBendingBoundsNmm2 } from '#engine/yarn/bending.ts';
import { packingFromDiameter, roundDiameterMm } from '#engine/yarn/diameter.ts';
import { fibreFactsOf } from '#engine/yarn/fibres.ts';
import { raceTrackAreaMm2, sectionHeightMm } from '#engine/yarn/section.ts';
import { beatenStrip, stripLay, stripSectionAtPitch } from '#engine/yarn/strip.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnFacts } from '#engine/yarn/yarnTypes.ts';
import clothStrip from '#presets/yarns/cloth-strip-20.json';
import cotton from '#presets/yarns/cotton-8-2.json';
import film from '#presets/yarns/holo-film-strip-3x50.json';
import yarnFacts from '#tests/reference/data/yarn-facts.json';

const factsOf = (record: unknown): YarnFacts => yarnFactsOf(record as YarnRecord);
const cottonFacts = factsOf(cotton);

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
  const out = { widthMm: 0, heightMm: 0 };

  it('a soft strip lies flat where there is room, folds to the pitch, and stops at its roll', () => {
    const facts = factsOf(clothStrip);
    stripSectionAtPitch(out, facts, 100);
    expect(out).toEqual({ widthMm: facts.stripWidthMm, heightMm: facts.gaugeMm });
    stripSectionAtPitch(out, facts, 4);
    expect(out.widthMm).toBe(4);
    // Folded it takes the area of its mass at packing 0.42: 2500 tex of cotton.
    expect(raceTrackAreaMm2(out.widthMm, out.heightMm)).toBeCloseTo(2.5 / 1.52 / 0.42, 9);
    stripSectionAtPitch(out, facts, 0.5);
    expect(out.widthMm).toBeCloseTo(2.23, 2);
    expect(out.heightMm).toBeCloseTo(out.widthMm, 9);
  });

  it('beaten harder a soft strip folds narrower and higher, its area kept, between its roll and its cut width', () => {
    const facts = factsOf(clothStrip);
    const lay = (push: number) => stripLay(beatenStrip(facts, push));
    // Its card tells 3 mm fairly firmly beaten: seven layers of a 20 mm strip.
    expect(lay(1)).toMatchObject({ lies: 'folded', widthMm: 3 });
    expect(lay(1).layers).toBeCloseTo(20 / 3, 9);
    // Clamped struts buckle under a quarter of the push at twice the width (Euler 1744).
    expect(lay(1 / 4).widthMm).toBeCloseTo(6, 9);
    expect(lay(1 / 4).heightMm).toBeLessThan(0.5 * lay(1).heightMm);
    for (const push of [1, 1 / 4])
      expect(raceTrackAreaMm2(lay(push).widthMm, lay(push).heightMm)).toBeCloseTo(2.5 / 1.52 / 0.42, 6);
    expect(lay(1 / 1000)).toMatchObject({ lies: 'flat', widthMm: 20, heightMm: facts.gaugeMm });
    expect(lay(8)).toMatchObject({ lies: 'rolled' });
    expect(lay(8).widthMm).toBeCloseTo(2.23, 2);
    expect(beatenStrip(factsOf(film), 0.1)).toEqual(factsOf(film));
    expect(beatenStrip(cottonFacts, 0.1)).toBe(cottonFacts);
  });

  it('a film does not fold', () => {
    stripSectionAtPitch(out, factsOf(film), 0.5);
    expect(out).toEqual({ widthMm: 3, heightMm: 0.05 });
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
