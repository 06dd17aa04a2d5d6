import { describe, expect, it } from 'vitest';
import { tintedSheetReflectance } from '#engine/scatter/facetBrdf.ts';
import { facetDensity, facetLambda, facetVisibility } from '#engine/scatter/facets.ts';
import { conductorFresnel, dielectricFresnel, refractedCosine, sheetReflectance } from '#engine/scatter/fresnel.ts';
import { gaussLegendre } from '#engine/scatter/quadrature.ts';
import { fibreIndices } from '#engine/yarn/fibreIndices.ts';
import { caseById, expectWithin } from './cases.ts';

const RAD = Math.PI / 180;
const cosDeg = (degrees: number): number => Math.cos(degrees * RAD);

describe('refractive indices of fibres', () => {
  it('OP-01: along, across and their difference (Morton & Hearle, from memory)', () => {
    const { inputs, expected, tolerance } = caseById<
      { fibre: string[] },
      { n_parallel: number[]; n_perpendicular: number[]; birefringence: number[] }
    >('appearance', 'OP-01');
    const abs = tolerance.abs_n as number;
    inputs.fibre.forEach((label, k) => {
      const name = /nylon/.test(label) ? 'nylon' : label.split(' ')[0];
      const { parallel, across } = fibreIndices[name];
      expectWithin(parallel, expected.n_parallel[k], { abs }, `${label} along`);
      expectWithin(across, expected.n_perpendicular[k], { abs }, `${label} across`);
      const allowed = { abs: tolerance.abs_birefringence };
      expectWithin(parallel - across, expected.birefringence[k], allowed, `${label} birefringence`);
    });
  });

  it('OP-03: polyester differs most', () => {
    const { expected, tolerance } = caseById<unknown, { polyester: number }>('appearance', 'OP-03');
    const differences = Object.values(fibreIndices).map(({ parallel, across }) => Math.abs(parallel - across));
    expectWithin(Math.max(...differences), expected.polyester, tolerance, 'largest birefringence');
  });
});

describe('Fresnel', () => {
  it('OP-04: normal incidence', () => {
    const { inputs, expected, tolerance } = caseById<{ n: number[] }, { normal_reflectance: number[] }>(
      'appearance',
      'OP-04',
    );
    inputs.n.forEach((n, k) => {
      expectWithin(dielectricFresnel(1, n), expected.normal_reflectance[k], tolerance, `n ${n}`);
    });
  });

  it.each(['OP-07', 'OP-09'])('%s: unpolarised over incidence', (id) => {
    const { inputs, expected, tolerance } = caseById<
      { n: number; incidence_deg: number[] },
      { unpolarised: number[]; Rs: number[]; Rp: number[] }
    >('appearance', id);
    inputs.incidence_deg.forEach((degrees, k) => {
      const got = dielectricFresnel(cosDeg(degrees), inputs.n);
      expectWithin(got, expected.unpolarised[k], tolerance, `${degrees}°`);
      expectWithin(2 * got, expected.Rs[k] + expected.Rp[k], { abs: 2e-6 }, `${degrees}° twice`);
    });
  });

  it('OP-10: at Brewster’s angle the refracted ray stands square to the mirrored one, and what lies beyond total reflection cannot leave', () => {
    const { inputs, expected, tolerance } = caseById<
      { n: number[] },
      { brewster_deg: number[]; critical_deg_inside: number[] }
    >('appearance', 'OP-10');
    inputs.n.forEach((n, k) => {
      const within = Math.acos(refractedCosine(cosDeg(expected.brewster_deg[k]), n)) / RAD;
      expectWithin(90 - within, expected.brewster_deg[k], tolerance, `n ${n} Brewster`);
      const grazing = Math.acos(refractedCosine(0, n)) / RAD;
      expectWithin(grazing, expected.critical_deg_inside[k], tolerance, `n ${n} critical`);
    });
  });

  it('OP-12: the exact values that Schlick’s form is compared with', () => {
    const { inputs, expected, tolerance } = caseById<{ incidence_deg: number[] }, { 'exact_n1.5': number[] }>(
      'appearance',
      'OP-12',
    );
    inputs.incidence_deg.forEach((degrees, k) => {
      expectWithin(dielectricFresnel(cosDeg(degrees), 1.5), expected['exact_n1.5'][k], tolerance, `${degrees}°`);
    });
  });

  it('OP-14: diffuse light from outside', () => {
    const { inputs, expected, tolerance } = caseById<{ n: number }, { external_diffuse_reflectance: number }>(
      'appearance',
      'OP-14',
    );
    const { nodes, weights } = gaussLegendre(64, 0, 1);
    let sum = 0;
    nodes.forEach((cosine, k) => {
      sum += 2 * weights[k] * cosine * dielectricFresnel(cosine, inputs.n);
    });
    expectWithin(sum, expected.external_diffuse_reflectance, tolerance, 'diffuse reflectance');
  });

  it('OP-05: evaporated aluminium (McPeak et al. 2015)', () => {
    const { inputs, expected, tolerance } = caseById<
      { wavelength_nm: number[] },
      { n: number[]; k: number[]; normal_reflectance: number[] }
    >('appearance', 'OP-05');
    inputs.wavelength_nm.forEach((nm, k) => {
      const got = conductorFresnel(1, expected.n[k], expected.k[k]);
      expectWithin(got, expected.normal_reflectance[k], tolerance, `${nm} nm`);
    });
  });

  it('OP-21: light that crosses a tinted sheet twice meets the square of what it passes once', () => {
    const { expected, tolerance } = caseById<unknown, { transmittance: number[]; transmittance_double_path: number }>(
      'appearance',
      'OP-21',
    );
    // What comes back from behind the front face, solved for the double passage.
    const r = dielectricFresnel(1, 1.5);
    const behind = tintedSheetReflectance(1.5, expected.transmittance[0], 1) - r;
    const twice = behind / (r * ((1 - r) * (1 - r) + r * behind));
    expectWithin(twice, expected.transmittance_double_path, tolerance, 'double path');
  });
});

describe('thin films', () => {
  /** Airy's sum for a free film of face reflectance r, waves in step (Born & Wolf, 7.6). */
  const airy = (r: number, phase: number): number => {
    const s = ((4 * r) / (1 - r) ** 2) * Math.sin(phase / 2) ** 2;
    return s / (1 + s);
  };

  it('OP-26: the engine’s face makes the published colours of a film of one thickness', () => {
    const { inputs, expected } = caseById<
      { n: number; thickness_nm: number[]; wavelength_nm: number[] },
      { phase_rad: number[][]; airy_reflectance: number[][] }
    >('appearance', 'OP-26');
    inputs.thickness_nm.forEach((thickness, a) => {
      inputs.wavelength_nm.forEach((nm, k) => {
        const phase = (4 * Math.PI * inputs.n * thickness * refractedCosine(1, inputs.n)) / nm;
        // Phases are printed to seven digits.
        expectWithin(phase, expected.phase_rad[a][k], { rel: 1e-6 }, `${thickness} nm ${nm} nm`);
        const got = airy(dielectricFresnel(1, inputs.n), phase);
        // Beside a whole wave the reflectance itself is 0.
        expectWithin(got, expected.airy_reflectance[a][k], { rel: 1e-6, abs: 1e-12 }, `${thickness} nm ${nm} nm`);
      });
    });
  });

  it('OP-27: a quarter wave gives most; the engine’s sheet is the mean over a wave, as thick and uneven film shows', () => {
    const { inputs, expected, tolerance } = caseById<{ n: number }, { max_reflectance: number }>('appearance', 'OP-27');
    const r = dielectricFresnel(1, inputs.n);
    expectWithin(airy(r, Math.PI), expected.max_reflectance, tolerance, 'most');
    const steps = 720;
    let mean = 0;
    for (let k = 0; k < steps; k++) mean += airy(r, (2 * Math.PI * k) / steps) / steps;
    expect(sheetReflectance(1, inputs.n)).toBeCloseTo(mean, 9);
    expect(sheetReflectance(1, inputs.n)).toBeLessThan(expected.max_reflectance);
  });
});

describe('facets', () => {
  it('OP-15: density times cosine is 1 over the half space', () => {
    const { inputs, expected, tolerance } = caseById<{ alpha: number[] }, { value: number[] }>('appearance', 'OP-15');
    const { nodes, weights } = gaussLegendre(400, 0, 1);
    inputs.alpha.forEach((alpha, k) => {
      let sum = 0;
      nodes.forEach((cosine, j) => {
        sum += 2 * Math.PI * weights[j] * cosine * facetDensity(cosine, alpha);
      });
      expectWithin(sum, expected.value[k], tolerance, `α ${alpha}`);
    });
  });

  it('OP-16: density', () => {
    const { inputs, expected, tolerance } = caseById<{ alpha: number[]; theta_h_deg: number[] }, { D: number[][] }>(
      'appearance',
      'OP-16',
    );
    inputs.alpha.forEach((alpha, a) => {
      inputs.theta_h_deg.forEach((degrees, k) => {
        expectWithin(facetDensity(cosDeg(degrees), alpha), expected.D[a][k], tolerance, `α ${alpha} ${degrees}°`);
      });
    });
  });

  it('OP-17: visible share', () => {
    const { inputs, expected, tolerance } = caseById<{ alpha: number[]; theta_deg: number[] }, { G1: number[][] }>(
      'appearance',
      'OP-17',
    );
    inputs.alpha.forEach((alpha, a) => {
      inputs.theta_deg.forEach((degrees, k) => {
        const hidden = facetLambda(cosDeg(degrees), alpha);
        expectWithin(1 / (1 + hidden), expected.G1[a][k], tolerance, `α ${alpha} ${degrees}°`);
        expect(facetVisibility(cosDeg(degrees), 1, alpha)).toBeCloseTo(1 / (1 + hidden), 12);
      });
    });
  });
});
