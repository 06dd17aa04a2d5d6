import { describe, expect, it } from 'vitest';
import {
  beamBendingEnergy,
  elasticaFromHeight,
  elasticaFromLoad,
  peirceBendingEnergy,
} from '#engine/cloth/peirce/elastica.ts';
import { pathFromHeight } from '#engine/cloth/peirce/peirce.ts';
import { fibreBendingNmm2 } from '#engine/yarn/bending.ts';
import {
  enclosingRadiusRatio,
  HEXAGONAL_PACKING,
  packedAreaShare,
  SQUARE_PACKING,
} from '#engine/yarn/circlePacking.ts';
import { compressionPressure, compressionWork, packingAtPressure } from '#engine/yarn/compression.ts';
import { roundDiameterMm } from '#engine/yarn/diameter.ts';
import {
  helixContraction,
  metricTwistFactor,
  plyHelix,
  texTwistFactor,
  turnsPerMFromTwistMultiplier,
  twistAngleRad,
  yarnContractionFactor,
  yarnRetraction,
} from '#engine/yarn/twist.ts';
import { caseById, expectWithin } from './cases.ts';

const DEGREES = 180 / Math.PI;
const TEX_TIMES_NE = 590.541;
const METRES_PER_INCH = 0.0254;

describe('14 yarn mechanics: compression', () => {
  it('YM-01: C. M. van Wyk 1946, P = K E (φ³ − φ0³) and its work', () => {
    const c = caseById<
      { K: number; E_Pa: number; phi0: number; phi: number[] },
      { P_Pa: number[]; work_J_per_m3_of_fibre: number[] }
    >('appearance', 'YM-01');
    const { K, E_Pa, phi0, phi } = c.inputs;
    phi.forEach((packing, i) => {
      const pressure = compressionPressure(E_Pa, packing, phi0, K);
      expectWithin(pressure, c.expected.P_Pa[i], c.tolerance, `P at φ ${packing}`);
      const work = compressionWork(E_Pa, packing, phi0, K);
      expectWithin(work, c.expected.work_J_per_m3_of_fibre[i], c.tolerance, `work at φ ${packing}`);
      expectWithin(packingAtPressure(E_Pa, pressure, phi0, K), packing, c.tolerance, 'back from P');
    });
  });

  it('YM-03: van Wyk, half the volume takes eight times the pressure, far from rest', () => {
    const c = caseById<unknown, { ratio: number }>('appearance', 'YM-03');
    const ratio = compressionPressure(1, 0.4, 0.001) / compressionPressure(1, 0.2, 0.001);
    expectWithin(ratio, c.expected.ratio, c.tolerance, 'ratio');
  });
});

describe('14 yarn mechanics: elastica through alternating supports', () => {
  it('YM-09: Bisshopp & Drucker 1945; Mattiasson 1981 table', () => {
    const c = caseById<{ P_L2_over_B: number[] }, Record<string, number[]>>('appearance', 'YM-09');
    c.inputs.P_L2_over_B.forEach((load, i) => {
      const e = elasticaFromLoad(load);
      const ours: Record<string, number> = {
        tip_slope_rad: e.tipSlopeRad,
        w_over_L: e.deflectionOverL,
        u_over_L: e.shorteningOverL,
        h_over_p: e.heightOverSpacing,
        crimp: e.crimp,
        energy_per_crossing_times_p3_over_B_h2: e.energyCoefficient,
      };
      for (const key of Object.keys(c.expected)) {
        expectWithin(ours[key], c.expected[key][i], c.tolerance, `${key} at P L²/B ${load}`);
      }
    });
  });

  it('YM-11: the same by h/p; small slopes give crimp 0.6 (h/p)²', () => {
    const c = caseById<
      { h_over_p: number[] },
      { max_angle_deg: number[]; crimp: number[]; energy_coefficient: number[]; small_slope_crimp: number[] }
    >('appearance', 'YM-11');
    c.inputs.h_over_p.forEach((ratio, i) => {
      const e = elasticaFromHeight(ratio);
      expectWithin(e.tipSlopeRad * DEGREES, c.expected.max_angle_deg[i], c.tolerance, 'angle');
      expectWithin(e.crimp, c.expected.crimp[i], c.tolerance, 'crimp');
      expectWithin(e.energyCoefficient, c.expected.energy_coefficient[i], c.tolerance, 'energy');
      expect(e.crimp).toBeLessThan(c.expected.small_slope_crimp[i]);
    });
    const slight = elasticaFromHeight(0.001);
    expectWithin(slight.crimp, 0.6e-6, c.tolerance, 'crimp at small slope');
    expectWithin(slight.energyCoefficient, 6, c.tolerance, 'energy at small slope');
  });

  it('YM-13: Peirce arcs store more than the beam, the beam more than the elastica', () => {
    const c = caseById<
      { d1: number; d2: number; p: number; h: number; B: number },
      { peirce_arc_line_energy: number; beam_energy: number; elastica_energy: number }
    >('appearance', 'YM-13');
    const { d1, d2, p, h, B } = c.inputs;
    const peirce = peirceBendingEnergy(B, d1 + d2, pathFromHeight(p, h, d1 + d2).angleRad);
    const beam = beamBendingEnergy(B, h, p);
    const elastica = (elasticaFromHeight(h / p).energyCoefficient * B * h * h) / p ** 3;
    expectWithin(peirce, c.expected.peirce_arc_line_energy, c.tolerance, 'Peirce');
    expectWithin(beam, c.expected.beam_energy, c.tolerance, 'beam');
    expectWithin(elastica, c.expected.elastica_energy, c.tolerance, 'elastica');
    expect(elastica).toBeLessThan(beam);
    expect(beam).toBeLessThan(peirce);
  });
});

describe('14 yarn mechanics: twist and ply (Hearle, Grosberg & Backer 1969; ISO 2061)', () => {
  it('YM-21: tan α = π d t', () => {
    const c = caseById<{ d_mm: number[]; turns_per_m: number[] }, { alpha_deg: number[] }>('appearance', 'YM-21');
    c.inputs.d_mm.forEach((d, i) => {
      const angle = twistAngleRad(d, c.inputs.turns_per_m[i]);
      expectWithin(angle * DEGREES, c.expected.alpha_deg[i], c.tolerance, `${d} mm`);
    });
  });

  it('YM-23: twist multiplier to tex and metric factors', () => {
    const c = caseById<
      { twist_multiplier_TM: number },
      {
        turns_per_m_times_sqrt_tex: number;
        turns_per_cm_times_sqrt_tex: number;
        alpha_metric_turns_per_m_over_sqrt_Nm: number;
      }
    >('appearance', 'YM-23');
    for (const tex of [20, 147.6]) {
      const turns = turnsPerMFromTwistMultiplier(c.inputs.twist_multiplier_TM, tex);
      const factor = texTwistFactor(turns, tex);
      expectWithin(factor, c.expected.turns_per_m_times_sqrt_tex, c.tolerance, 'tex, per m');
      expectWithin(factor / 100, c.expected.turns_per_cm_times_sqrt_tex, c.tolerance, 'tex, per cm');
      expectWithin(
        metricTwistFactor(turns, tex),
        c.expected.alpha_metric_turns_per_m_over_sqrt_Nm,
        c.tolerance,
        'metric',
      );
    }
  });

  it('YM-24: with Peirce’s diameter tan α = π TM/28 for any count', () => {
    const c = caseById<
      { Ne: number[]; TM: number[] },
      { turns_per_inch: number[]; turns_per_m: number[]; alpha_deg_with_d_1_over_28_sqrt_Ne: number[] }
    >('appearance', 'YM-24');
    c.inputs.Ne.forEach((ne, i) => {
      const turns = turnsPerMFromTwistMultiplier(c.inputs.TM[i], TEX_TIMES_NE / ne);
      expectWithin(turns, c.expected.turns_per_m[i], c.tolerance, 'per m');
      expectWithin(turns * METRES_PER_INCH, c.expected.turns_per_inch[i], c.tolerance, 'per inch');
      const angle = twistAngleRad(25.4 / (28 * Math.sqrt(ne)), turns) * DEGREES;
      expectWithin(angle, c.expected.alpha_deg_with_d_1_over_28_sqrt_Ne[i], c.tolerance, 'angle');
    });
  });

  it('YM-26: contraction and retraction of twisted yarn', () => {
    const c = caseById<
      { alpha_deg: number[] },
      {
        outer_fibre_contraction_1_minus_cos: number[];
        yarn_retraction_tan2_half_alpha: number[];
        contraction_factor: number[];
      }
    >('appearance', 'YM-26');
    c.inputs.alpha_deg.forEach((degrees, i) => {
      const angle = degrees / DEGREES;
      expectWithin(helixContraction(angle), c.expected.outer_fibre_contraction_1_minus_cos[i], c.tolerance, 'outer');
      expectWithin(yarnRetraction(angle), c.expected.yarn_retraction_tan2_half_alpha[i], c.tolerance, 'retraction');
      expectWithin(yarnContractionFactor(angle), c.expected.contraction_factor[i], c.tolerance, 'factor');
    });
  });

  it('YM-28: two plies touching', () => {
    const c = caseById<
      { plies: number; ply_diameter_mm: number; ply_turns_per_m: number },
      {
        helix_radius_mm: number;
        ply_axis_angle_deg: number;
        bumps_per_cm_on_one_edge: number;
        ply_length_per_unit_yarn: number;
      }
    >('appearance', 'YM-28');
    const helix = plyHelix(c.inputs.plies, c.inputs.ply_diameter_mm, c.inputs.ply_turns_per_m);
    expectWithin(helix.helixRadiusMm, c.expected.helix_radius_mm, c.tolerance, 'radius');
    expectWithin(helix.plyAngleRad * DEGREES, c.expected.ply_axis_angle_deg, c.tolerance, 'angle');
    expectWithin(helix.bumpsPerCm, c.expected.bumps_per_cm_on_one_edge, c.tolerance, 'bumps');
    expectWithin(helix.plyLengthRatio, c.expected.ply_length_per_unit_yarn, c.tolerance, 'length');
  });
});

describe('14 yarn mechanics: packing and fibre bending', () => {
  it('YM-29: equal circles in a circle, R. L. Graham 1968', () => {
    const c = caseById<{ n_equal_circles_radius_1: number[] }, { enclosing_radius: number[]; area_share: number[] }>(
      'appearance',
      'YM-29',
    );
    c.inputs.n_equal_circles_radius_1.forEach((n, i) => {
      expectWithin(enclosingRadiusRatio(n), c.expected.enclosing_radius[i], c.tolerance, `${n} circles`);
      expectWithin(packedAreaShare(n), c.expected.area_share[i], c.tolerance, `${n} circles, share`);
    });
  });

  it('YM-31: densest and square packing in the plane (A. Thue; L. Fejes Tóth)', () => {
    const c = caseById<unknown, { area_share: number[] }>('appearance', 'YM-31');
    expectWithin(HEXAGONAL_PACKING, c.expected.area_share[0], c.tolerance, 'hexagonal');
    expectWithin(SQUARE_PACKING, c.expected.area_share[1], c.tolerance, 'square');
  });

  it('YM-33: fibre bending B = E T²/(4πρ)·1e-3, Morton & Hearle (form from memory)', () => {
    const c = caseById<
      { E_N_per_tex: number[]; T_tex: number[]; rho_g_cm3: number[] },
      { B_N_mm2: number[]; diameter_um: number[] }
    >('appearance', 'YM-33');
    c.inputs.T_tex.forEach((tex, i) => {
      const rho = c.inputs.rho_g_cm3[i];
      const bending = fibreBendingNmm2(c.inputs.E_N_per_tex[i], tex, rho);
      expectWithin(bending, c.expected.B_N_mm2[i], c.tolerance, 'B');
      expectWithin(1000 * roundDiameterMm(tex, 1, rho), c.expected.diameter_um[i], c.tolerance, 'diameter');
    });
  });
});
