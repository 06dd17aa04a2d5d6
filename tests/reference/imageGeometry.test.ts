import { describe, expect, it } from 'vitest';
import { codesFromLinear, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import { leastCommonMultiple } from '#engine/draft/repeats.ts';
import {
  apparentFrequency,
  boxTransfer,
  gaussianTransfer,
  isAliased,
  lowestPixelsPerCm,
  parallelMoireMm,
  tentTransfer,
  turnedMoireMm,
} from '#engine/picture/sampling.ts';
import { gridOfSize, rowsInProportion, settAfterLoss, sizeOfGrid } from '#engine/picture/threadGrid.ts';
import { twillAngle } from '#engine/weave/twillAngle.ts';
import { caseById, expectWithin } from './cases.ts';

const degrees = (radians: number) => (radians * 180) / Math.PI;
const sett = (endsPerCm: number, picksPerCm: number) => ({ endsPerCm, picksPerCm });

describe('pictures on a grid of threads', () => {
  it('IG-01: columns and rows of a motif', () => {
    const { inputs, expected } = caseById<
      { motif_mm: [number, number][]; ends_per_cm: number[]; picks_per_cm: number[] },
      { columns: number[]; rows: number[] }
    >('appearance', 'IG-01');
    inputs.motif_mm.forEach(([width, height], k) => {
      const grid = gridOfSize(width, height, sett(inputs.ends_per_cm[k], inputs.picks_per_cm[k]));
      expect(grid).toEqual({ columns: expected.columns[k], rows: expected.rows[k] });
    });
  });

  it('IG-02: rows that keep the picture in proportion', () => {
    const { inputs, expected, tolerance } = caseById<
      { image_px: [number, number][]; ends_per_cm: number[]; picks_per_cm: number[] },
      { rows: number[]; rows_if_rounded: number[] }
    >('appearance', 'IG-02');
    inputs.image_px.forEach(([width, height], k) => {
      const rows = rowsInProportion(width, width, height, sett(inputs.ends_per_cm[k], inputs.picks_per_cm[k]));
      expectWithin(rows, expected.rows[k], tolerance, `picture ${k}`);
      expect(Math.round(rows)).toBe(expected.rows_if_rounded[k]);
    });
  });

  it('IG-03: size of a grid', () => {
    const { inputs, expected, tolerance } = caseById<
      Record<'rows' | 'columns' | 'ends_per_cm' | 'picks_per_cm', number[]>,
      Record<'height_mm' | 'width_mm' | 'height_over_width', number[]>
    >('appearance', 'IG-03');
    inputs.rows.forEach((rows, k) => {
      const size = sizeOfGrid(inputs.columns[k], rows, sett(inputs.ends_per_cm[k], inputs.picks_per_cm[k]));
      expectWithin(size.heightMm, expected.height_mm[k], tolerance, 'height');
      expectWithin(size.widthMm, expected.width_mm[k], tolerance, 'width');
      expectWithin(size.heightMm / size.widthMm, expected.height_over_width[k], tolerance, 'proportion');
    });
  });

  it('IG-05: sett and size after finishing', () => {
    const { inputs, expected, tolerance } = caseById<Record<string, number>, Record<string, number>>(
      'appearance',
      'IG-05',
    );
    const loom = sett(inputs.loom_ends_per_cm, inputs.loom_picks_per_cm);
    const finished = settAfterLoss(loom, inputs.width_loss, inputs.length_loss);
    const size = sizeOfGrid(inputs.columns, inputs.rows, finished);
    expectWithin(finished.endsPerCm, expected.finished_ends_per_cm, tolerance, 'ends per cm');
    expectWithin(finished.picksPerCm, expected.finished_picks_per_cm, tolerance, 'picks per cm');
    expectWithin(size.widthMm, expected.finished_width_mm, tolerance, 'width');
    expectWithin(size.heightMm, expected.finished_height_mm, tolerance, 'height');
  });

  it('IG-20: weave repeat and colour order come round together', () => {
    const { inputs, expected } = caseById<
      { weave_repeat_ends: number[]; colour_order_ends: number[] },
      { full_repeat_ends: number[] }
    >('appearance', 'IG-20');
    expect(inputs.weave_repeat_ends.map((ends, k) => leastCommonMultiple(ends, inputs.colour_order_ends[k]))).toEqual(
      expected.full_repeat_ends,
    );
  });
});

describe('twill angle', () => {
  it('IG-07: worked example of the lecture notes', () => {
    const { inputs, expected, tolerance } = caseById<Record<string, number>, Record<string, number>>(
      'appearance',
      'IG-07',
    );
    const angle = degrees(twillAngle(inputs.step_up, inputs.step_out, inputs.ends_per_cm, inputs.picks_per_cm));
    expectWithin(angle, expected.angle_deg, tolerance, 'printed');
    expectWithin(angle, expected.angle_deg_exact, { abs: 1e-5 }, 'exact');
  });

  it('IG-08: 2/2 twill in square and unequal setts', () => {
    const { inputs, expected, tolerance } = caseById<
      { ends_per_cm: number[]; picks_per_cm: number[] },
      { angle_deg: number[] }
    >('appearance', 'IG-08');
    inputs.ends_per_cm.forEach((ends, k) => {
      expectWithin(
        degrees(twillAngle(1, 1, ends, inputs.picks_per_cm[k])),
        expected.angle_deg[k],
        tolerance,
        `sett ${k}`,
      );
    });
  });

  it('IG-09: steep and reclining twills, and their trade names', () => {
    const { inputs, expected } = caseById<
      { step_up: number[]; step_out: number[] },
      { angle_deg: number[]; trade_name_deg: number[] }
    >('appearance', 'IG-09');
    inputs.step_up.forEach((up, k) => {
      const angle = degrees(twillAngle(up, inputs.step_out[k], 20, 20));
      expectWithin(angle, expected.angle_deg[k], { abs: 1e-4 }, `step ${up}/${inputs.step_out[k]}`);
      expectWithin(angle, expected.trade_name_deg[k], { abs: 2 }, 'trade name');
    });
  });
});

describe('sampling', () => {
  it('IG-11: least pixels per cm', () => {
    const { inputs, expected } = caseById<{ yarns_per_cm: number[] }, { lowest_pixels_per_cm: number[][] }>(
      'appearance',
      'IG-11',
    );
    inputs.yarns_per_cm.forEach((yarns, k) => {
      expect([lowestPixelsPerCm(yarns, 2), lowestPixelsPerCm(yarns, 1)]).toEqual(expected.lowest_pixels_per_cm[k]);
    });
  });

  it('IG-12: false frequencies (Shannon 1949)', () => {
    const { inputs, expected, tolerance } = caseById<
      { f_per_cm: number[]; samples_per_cm: number[] },
      { apparent_f_per_cm: number[]; aliased: boolean[]; false_period_mm: number[] }
    >('appearance', 'IG-12');
    inputs.f_per_cm.forEach((f, k) => {
      const apparent = apparentFrequency(f, inputs.samples_per_cm[k]);
      expectWithin(apparent, expected.apparent_f_per_cm[k], tolerance, `${f} per cm`);
      expectWithin(10 / apparent, expected.false_period_mm[k], tolerance, 'period');
      expect(isAliased(f, inputs.samples_per_cm[k])).toBe(expected.aliased[k]);
    });
  });

  it('IG-14, IG-15: bands between two gratings (Oster & Nishijima 1963; Amidror)', () => {
    const parallel = caseById<{ p1_mm: number[]; p2_mm: number[] }, { moire_mm: number[] }>('appearance', 'IG-14');
    parallel.inputs.p1_mm.forEach((first, k) => {
      const band = parallelMoireMm(first, parallel.inputs.p2_mm[k]);
      expectWithin(band, parallel.expected.moire_mm[k], parallel.tolerance, `${first} mm`);
    });
    const turned = caseById<{ pitch_mm: number; turn_deg: number[] }, { moire_mm: number[] }>('appearance', 'IG-15');
    turned.inputs.turn_deg.forEach((turn, k) => {
      const band = turnedMoireMm(turned.inputs.pitch_mm, (turn * Math.PI) / 180);
      expectWithin(band, turned.expected.moire_mm[k], turned.tolerance, `${turn}°`);
    });
  });

  it('IG-17: contrast left by a pixel', () => {
    const { inputs, expected, tolerance } = caseById<
      { cycles_per_pixel: number[] },
      { box: number[]; tent: number[]; 'gaussian_sigma_0.5': number[] }
    >('appearance', 'IG-17');
    inputs.cycles_per_pixel.forEach((f, k) => {
      expectWithin(boxTransfer(f), expected.box[k], tolerance, `box ${f}`);
      expectWithin(tentTransfer(f), expected.tent[k], tolerance, `tent ${f}`);
      expectWithin(gaussianTransfer(f, 0.5), expected['gaussian_sigma_0.5'][k], tolerance, `Gaussian ${f}`);
    });
  });

  it('IG-19: checks reduced to one pixel keep their light', () => {
    const { expected } = caseById<unknown, { srgb_8bit_linear_light: number; linear_mean: number }>(
      'appearance',
      'IG-19',
    );
    const mean = meanLinear([linearFromHex('#000000'), linearFromHex('#ffffff')]);
    expect(mean[0]).toBeCloseTo(expected.linear_mean, 12);
    expect(codesFromLinear(mean)).toEqual(Array(3).fill(expected.srgb_8bit_linear_light));
  });
});
