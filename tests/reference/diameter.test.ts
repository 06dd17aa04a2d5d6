import { describe, expect, it } from 'vitest';
import { perInch } from '#engine/units/lengths.ts';
import { ashenhurstDiametersPerCm } from '#engine/weave/sett.ts';
import { roundDiameterMm, stripTex } from '#engine/yarn/diameter.ts';
import { fibreFactsOf } from '#engine/yarn/fibres.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import cotton8 from '#presets/yarns/cotton-8-2.json';
import cotton10 from '#presets/yarns/cotton-10-2.json';
import { caseById, expectWithin } from './cases.ts';

const MM_PER_INCH = 25.4;
/** tex · Ne: 840 yd/lb in g/km. */
const TEX_TIMES_NE = 590.541;

/** Sources stand in the case files beside each number; those named here are their short forms. */
describe('01 linear density and diameter', () => {
  it('LD-13: F. T. Peirce 1937, d = 1/(28 sqrt(Ne)) in is the general law at one packing for every count', () => {
    const c = caseById<{ cotton_Ne: number[] }, { diameter_mm: number[] }>('textile', 'LD-13');
    // 28 per inch at Ne 1 is a specific volume of 1.0944 cm³/g ("about 1.1"): φ ρ is its inverse.
    const specificVolume = (Math.PI / 4) * (1000 / TEX_TIMES_NE) * (MM_PER_INCH / 28) ** 2;
    expect(specificVolume).toBeGreaterThan(1.05);
    expect(specificVolume).toBeLessThan(1.15);
    c.inputs.cotton_Ne.forEach((ne, i) => {
      const d = roundDiameterMm(TEX_TIMES_NE / ne, 1 / (1.52 * specificVolume), 1.52);
      expectWithin(d, c.expected.diameter_mm[i], c.tolerance, `Ne ${ne}`);
    });
  });

  it('LD-13, whole chain: preset cottons are as thick as Peirce says, to the 3 % that packing is known', () => {
    const PACKING_REL = 0.03;
    for (const [preset, ne] of [
      [cotton8, 4],
      [cotton10, 5],
    ] as const) {
      const peirce = MM_PER_INCH / (28 * Math.sqrt(ne));
      const body = yarnBody(yarnFactsOf(preset as unknown as YarnRecord));
      expect(Math.abs(body.contactWidthMm / peirce - 1)).toBeLessThan(PACKING_REL);
    }
  });

  it('LD-14: J. T. Taylor 1909, diameters per inch of cotton, 0.95 sqrt(yd/lb)', () => {
    const c = caseById<{ cotton_Ne: number; cotton_Ne_b: number }, { diameters_per_inch: number[] }>(
      'textile',
      'LD-14',
    );
    [c.inputs.cotton_Ne, c.inputs.cotton_Ne_b].forEach((ne, i) => {
      const count = perInch(ashenhurstDiametersPerCm(TEX_TIMES_NE / ne, 0.95));
      expectWithin(count, c.expected.diameters_per_inch[i], c.tolerance, `Ne ${ne}`);
    });
  });

  it('LD-16: N. Balasubramanian, d = 34.14 sqrt(v/C) mil at specific volume 1', () => {
    const c = caseById<{ cotton_Ne: number }, { diameter_mil: number }>('textile', 'LD-16');
    const d = roundDiameterMm(TEX_TIMES_NE / c.inputs.cotton_Ne, 1, 1);
    expectWithin((1000 * d) / MM_PER_INCH, c.expected.diameter_mil, c.tolerance, 'mil');
  });

  it('LD-17: d = sqrt(4T/(π φ ρ)) of nine yarns; densities Morton & Hearle', () => {
    const c = caseById<
      { yarns: { name: string; tex: number; packing: number; rho_g_cm3: number }[] },
      { diameter_mm: number[] }
    >('textile', 'LD-17');
    c.inputs.yarns.forEach((yarn, i) => {
      const d = roundDiameterMm(yarn.tex, yarn.packing, yarn.rho_g_cm3);
      expectWithin(d, c.expected.diameter_mm[i], c.tolerance, yarn.name);
    });
  });

  it('LD-19: slit film, T = w g ρ; 12 µm polyester', () => {
    const c = caseById<
      { film_width_in: number[]; film_thickness_um: number; rho_g_cm3: number },
      { width_mm: number[]; tex: number[] }
    >('textile', 'LD-19');
    c.inputs.film_width_in.forEach((inches, i) => {
      const widthMm = inches * MM_PER_INCH;
      expectWithin(widthMm, c.expected.width_mm[i], c.tolerance, 'mm');
      const tex = stripTex(widthMm, c.inputs.film_thickness_um / 1000, c.inputs.rho_g_cm3);
      expectWithin(tex, c.expected.tex[i], c.tolerance, 'tex');
    });
  });

  it('LD-20: fibre densities, Morton & Hearle 2008, Tables 5.1 and 5.2', () => {
    const c = caseById<{ fibre: string[] }, { density_g_cm3_65rh: number[] }>('textile', 'LD-20');
    c.inputs.fibre.forEach((fibre, i) => {
      expectWithin(fibreFactsOf(fibre).densityGPerCm3, c.expected.density_g_cm3_65rh[i], c.tolerance, fibre);
    });
  });

  it('LD-21: P. Osterkamp, half the ruler wraps over 0.7 is the closest plain sett', () => {
    const c = caseById<{ wraps_per_inch_on_ruler: number }, { plain_half: number; ashenhurst_max_plain: number }>(
      'textile',
      'LD-21',
    );
    // A yarn of 10 wraps lies 2.54 mm wide where nothing presses; its diameters under pressure give the closest sett.
    const body = yarnBody(yarnFactsOf(cotton8 as unknown as YarnRecord));
    const wrapsPerInch = MM_PER_INCH / body.bodyWidthMm;
    const diametersPerInch = perInch(ashenhurstDiametersPerCm(body.tex, 0.9));
    const half = c.inputs.wraps_per_inch_on_ruler / 2;
    expectWithin(half, c.expected.plain_half, c.tolerance, 'half the wraps');
    expectWithin((half * diametersPerInch) / wrapsPerInch, c.expected.ashenhurst_max_plain, c.tolerance, 'sett');
  });

  it('LD-23: d = 4.44e-3 sqrt(tex/ρ) cm implies packing 0.646', () => {
    const c = caseById<unknown, { implied_packing: number }>('textile', 'LD-23');
    // The law at 1 tex, 1 g/cm³ and full packing, over the examination formula's 0.0444 mm, squared.
    const implied = (roundDiameterMm(1, 1, 1) / 0.0444) ** 2;
    expectWithin(implied, c.expected.implied_packing, c.tolerance, 'packing');
  });
});
