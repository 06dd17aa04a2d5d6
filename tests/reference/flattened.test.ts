import { describe, it } from 'vitest';
import {
  type FlattenedInput,
  lensFromHeight,
  raceTrackFromHeight,
  raceTrackFromWarpCrimp,
} from '#engine/cloth/peirce/flattened.ts';
import { ellipseAreaMm2, flattenedSection, lensAreaMm2, lensRadiusMm, raceTrackAreaMm2 } from '#engine/yarn/section.ts';
import { caseById, expectWithin } from './cases.ts';

const DEGREES = 180 / Math.PI;

interface Sections {
  readonly a1: number;
  readonly b1: number;
  readonly a2: number;
  readonly b2: number;
  readonly p1: number;
  readonly p2: number;
}

const inputOf = ({ a1, b1, a2, b2, p1, p2 }: Sections): FlattenedInput => ({
  a1Mm: a1,
  b1Mm: b1,
  a2Mm: a2,
  b2Mm: b2,
  p1Mm: p1,
  p2Mm: p2,
});

interface RaceTrackExpected {
  readonly p1_reduced: number;
  readonly p2_reduced: number;
  readonly h1: number;
  readonly h2: number;
  readonly theta1_deg: number;
  readonly theta2_deg: number;
  readonly c1: number;
  readonly c2: number;
  readonly thickness: number;
}

describe('03 flattened sections', () => {
  it.each(['FL-01', 'FL-03'])('%s: race-track, A. Kemp 1958 (from memory)', (id) => {
    const c = caseById<Sections & { h1?: number; c1?: number }, RaceTrackExpected>('textile', id);
    const input = inputOf(c.inputs);
    const weave =
      c.inputs.h1 === undefined ? raceTrackFromWarpCrimp(input, c.inputs.c1!) : raceTrackFromHeight(input, c.inputs.h1);
    const ours: RaceTrackExpected = {
      p1_reduced: weave.p1ReducedMm,
      p2_reduced: weave.p2ReducedMm,
      h1: weave.h1Mm,
      h2: weave.h2Mm,
      theta1_deg: weave.warp.angleRad * DEGREES,
      theta2_deg: weave.weft.angleRad * DEGREES,
      c1: weave.warp.crimp,
      c2: weave.weft.crimp,
      thickness: weave.thicknessMm,
    };
    for (const key of Object.keys(ours) as (keyof RaceTrackExpected)[]) {
      expectWithin(ours[key], c.expected[key], c.tolerance, key);
    }
  });

  it('FL-04: areas and radius of lens, race-track and ellipse, by elementary geometry', () => {
    const c = caseById<
      { a: number[]; b: number[] },
      { lens_R: number[]; lens_area: number[]; racetrack_area: number[]; ellipse_area: number[] }
    >('textile', 'FL-04');
    c.inputs.a.forEach((a, i) => {
      const b = c.inputs.b[i];
      expectWithin(lensRadiusMm(a, b), c.expected.lens_R[i], c.tolerance, 'lens R');
      expectWithin(lensAreaMm2(a, b), c.expected.lens_area[i], c.tolerance, 'lens');
      expectWithin(raceTrackAreaMm2(a, b), c.expected.racetrack_area[i], c.tolerance, 'race-track');
      expectWithin(ellipseAreaMm2(a, b), c.expected.ellipse_area[i], c.tolerance, 'ellipse');
    });
  });

  it('FL-05: flattening at constant area', () => {
    const c = caseById<
      { d_circular: number; flattening_b_over_a: number },
      { ellipse: number[]; racetrack: number[]; lens: number[] }
    >('textile', 'FL-05');
    const { d_circular, flattening_b_over_a } = c.inputs;
    for (const [shape, key] of [
      ['ellipse', 'ellipse'],
      ['race-track', 'racetrack'],
      ['lens', 'lens'],
    ] as const) {
      const { widthMm, heightMm } = flattenedSection(shape, d_circular, flattening_b_over_a);
      expectWithin(widthMm, c.expected[key][0], c.tolerance, `${shape} width`);
      expectWithin(heightMm, c.expected[key][1], c.tolerance, `${shape} height`);
    }
  });

  it('FL-07: lens, J. W. S. Hearle & W. J. Shanahan 1978 (from memory)', () => {
    const c = caseById<Sections & { h1: number }, Record<string, number>>('textile', 'FL-07');
    const weave = lensFromHeight(inputOf(c.inputs), c.inputs.h1);
    const { a1, b1, a2, b2 } = c.inputs;
    const ours: Record<string, number> = {
      R1: lensRadiusMm(a1, b1),
      R2: lensRadiusMm(a2, b2),
      D1: weave.d1Mm,
      D2: weave.d2Mm,
      h1: weave.h1Mm,
      h2: weave.h2Mm,
      theta1_deg: weave.warp.angleRad * DEGREES,
      theta1_max_deg: weave.theta1MostRad * DEGREES,
      l1: weave.warp.lengthMm,
      c1: weave.warp.crimp,
      theta2_deg: weave.weft.angleRad * DEGREES,
      c2: weave.weft.crimp,
      thickness: weave.thicknessMm,
    };
    for (const key of Object.keys(c.expected)) expectWithin(ours[key], c.expected[key], c.tolerance, key);
  });
});
