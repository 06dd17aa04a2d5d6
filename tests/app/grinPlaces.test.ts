import {
  type Color,
  converter,
  filterDeficiencyDeuter,
  filterDeficiencyProt,
  filterDeficiencyTrit,
  modeOklab,
  modeRgb,
  useMode as registerMode,
} from 'culori/fn';
import { describe, expect, it } from 'vitest';
import { evenRamp, GRIN_RAMP } from '#app/model/evenRamp.ts';
import { blockBox, blockPlace, goTo, grinWords, percent, scaleOf, viewOf } from '#app/model/grinPlaces.ts';
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

  it('are found in the cloth, in the repeat nearest to what is looked at, and brought to the middle, near', () => {
    const whole = { lineTable, lines: 22, ends: 60 };
    const places = {
      endXMm: Array.from({ length: 60 }, (_, e) => e),
      rowYMm: Array.from({ length: 22 }, (_, r) => 2 * r),
    };
    // Block 5: lines 4–7, ends 8–15 of each repeat of 30.
    const first = blockBox(table, 5, whole, places, { targetXMm: 3, targetYMm: 0 });
    expect(first).toEqual({ minXMm: 7.5, maxXMm: 15.5, minYMm: 7, maxYMm: 15 });
    const second = blockBox(table, 5, whole, places, { targetXMm: 50, targetYMm: 0 });
    expect([second.minXMm, second.maxXMm]).toEqual([37.5, 45.5]);
    // The outermost threads end where a pitch would.
    expect(blockBox(table, 0, whole, places, { targetXMm: 0, targetYMm: 0 }).minXMm).toBe(-0.5);
    const size = { widthPx: 400, heightPx: 300 };
    const pose = { targetXMm: 30, targetYMm: 20, yawRad: 0.3, pitchRad: 0, mmPerPx: 0.5 };
    const there = goTo(pose, size, first);
    expect([there.targetXMm, there.targetYMm, there.yawRad]).toEqual([11.5, 11, 0.3]);
    expect(there.mmPerPx).toBeCloseTo(8 / (0.2 * 300), 9);
    expect(goTo({ ...pose, mmPerPx: 0.01 }, size, first).mmPerPx).toBe(0.01);
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

  /** L of OKLab at each of nine steps, as eyes with this deficiency have it. */
  function lightnesses(see: (colour: Color) => Color): number[] {
    const ramp = evenRamp(...GRIN_RAMP, 9);
    return Array.from({ length: 9 }, (_, k) => {
      const [r, g, b] = [...ramp.subarray(3 * k, 3 * k + 3)].map((byte) => byte / 255);
      return toOklab(see({ mode: 'rgb', r, g, b })).l;
    });
  }

  // B. Ottosson 2020: equal steps in OKLab are about equal to the eye. Bytes round by up to 0.002 of lightness.
  it('goes in even steps from dark to bright, over most of the way from black to white', () => {
    const l = lightnesses((colour) => colour);
    const whole = l[8] - l[0];
    expect(whole).toBeGreaterThan(0.65);
    for (let k = 1; k < 9; k++) expect(Math.abs(l[k] - l[k - 1] - whole / 8)).toBeLessThan(0.004);
  });

  // G. Machado, M. Oliveira & L. Fernandes 2009, as culori has it.
  it.each([
    ['protanopia', filterDeficiencyProt(1)],
    ['deuteranopia', filterDeficiencyDeuter(1)],
    ['tritanopia', filterDeficiencyTrit(1)],
  ])('keeps its order and its span with %s', (_name, see) => {
    const l = lightnesses((colour) => see(colour) as Color);
    expect(l[8] - l[0]).toBeGreaterThan(0.6);
    // No step is lost: each at least half as large as the mean one.
    for (let k = 1; k < 9; k++) expect(l[k] - l[k - 1]).toBeGreaterThan((l[8] - l[0]) / 16);
  });
});
