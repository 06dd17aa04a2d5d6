import { converter, modeOklab, modeRgb, useMode as registerMode } from 'culori/fn';
import { describe, expect, it } from 'vitest';
import { evenRamp } from '#app/model/evenRamp.ts';
import { blockPlace, grinWords, percent, scaleOf, viewOf } from '#app/model/grinPlaces.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';

const table: GrinTable = {
  lines: 22,
  ends: 30,
  linesPerBlock: 4,
  endsPerBlock: 8,
  blocksUp: 6,
  blocksAcross: 4,
  hidden: new Float32Array(),
  shown: new Float32Array(),
};
/** Two rows to a pick from the eleventh row on. */
const rowPick = Array.from({ length: 22 }, (_, row) => (row < 10 ? row : 10 + Math.floor((row - 10) / 2)));
const lineTable = new Float32Array(22 * 4);
for (let line = 0; line < 22; line++) lineTable[line * 4 + 1] = line;

describe('places of grin-through', () => {
  it('are named by picks and ends, counted as weavers do, from one', () => {
    const whole = { lineTable, lines: 22, ends: 30 };
    expect(blockPlace(table, 0, whole, rowPick)).toBe('picks 1–4, ends 1–8');
    // The last block is smaller; its rows belong to one pick.
    expect(blockPlace(table, 23, whole, rowPick)).toBe('pick 16, ends 25–30');
    expect(blockPlace(table, 5, { ...whole, ends: 60 }, rowPick)).toBe('picks 5–8, ends 9–16 of each repeat');
    expect(grinWords(0.182, 45)).toBe('18 % at 45°');
    expect([percent(0), percent(0.004), percent(1)]).toEqual(['0 %', 'under 1 %', '100 %']);
  });

  it('are looked at along the pose: square on along the normal, the right edge away where turned', () => {
    expect(viewOf({ yawRad: 0, pitchRad: 0 })).toEqual([0, 0, 1]);
    const [x, y, z] = viewOf({ yawRad: Math.PI, pitchRad: 0.4 });
    expect(x).toBeCloseTo(0, 12);
    expect([y, z]).toEqual([Math.sin(0.4), -Math.cos(0.4)]);
  });

  it('are scaled to round shares that hold all, from none unless all is high', () => {
    const reading = { degrees: new Float32Array(2), mean: 0, meanDegrees: 0 };
    const scale = (...share: number[]) => {
      const { from, to } = scaleOf({ ...reading, share: Float32Array.from(share) });
      return [Math.round(100 * from), Math.round(100 * to)];
    };
    expect(scale(0, 0.12)).toEqual([0, 15]);
    expect(scale(0, 0)).toEqual([0, 5]);
    expect(scale(0.27, 0.34)).toEqual([25, 35]);
    expect(scale(0.28, 0.28)).toEqual([25, 30]);
  });
});

describe('the ramp', () => {
  registerMode(modeRgb);
  registerMode(modeOklab);
  const toOklab = converter('oklab');

  // B. Ottosson 2020: equal steps in OKLab are about equal to the eye. Bytes round by up to 0.002 of lightness.
  it.each([
    ['light', 'rgb(237, 237, 237)', 'rgb(39, 86, 107)'],
    ['dark', 'rgb(35, 35, 35)', 'rgb(143, 188, 205)'],
  ])('goes in even steps of one hue, %s', (_scheme, from, to) => {
    const ramp = evenRamp(from, to, 9);
    const steps = Array.from({ length: 9 }, (_, k) => {
      const [r, g, b] = [...ramp.subarray(3 * k, 3 * k + 3)].map((byte) => byte / 255);
      return toOklab({ mode: 'rgb', r, g, b });
    });
    const whole = steps[8].l - steps[0].l;
    for (let k = 1; k < 9; k++) expect(Math.abs(steps[k].l - steps[k - 1].l - whole / 8)).toBeLessThan(0.004);
    const hue = Math.atan2(steps[8].b, steps[8].a);
    for (const { a, b } of steps.slice(3)) expect(Math.abs(Math.atan2(b, a) - hue)).toBeLessThan(0.15);
  });
});
