import { describe, expect, it } from 'vitest';
import { RowEnd } from '#engine/cloth/clothTypes.ts';
import { EXTRA_TEXELS, ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { hairThreads } from '#engine/packing/hairThreads.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { fuzz, withHair } from '#tests/helpers/hairScenes.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const hit = createWalkHit();
const ROWS = 6;
const TAIL_MM = 40;

/** Straight wefts 20 mm apart of which tails hang out on both sides, or that turn. */
const wefts = (cut: boolean, pitchMm = 20) =>
  clothFixture({
    ends: 3,
    rows: ROWS,
    warp: [{ widthMm: 0.002, heightMm: 0.002 }],
    weft: [{ widthMm: 1, heightMm: 1 }],
    warpShare: 1,
    rowY: (row) => pitchMm * row,
    tailMm: TAIL_MM,
    rowEnd: () => (cut ? RowEnd.cut : RowEnd.turn),
  });

const packed = (cloth: ReturnType<typeof wefts>) => packCloth(cloth.problem, cloth.geometry, cloth.materials);

/** Upright hairs all round, cut alike: nobody hides behind the body, and the closed form is exact. */
const upright = fuzz({ evenness: 1, leanMeanRad: 0, taper: 0, meanLengthMm: 1, longestMm: 1.2, heightMm: 2 });

describe('hair of tails and turns', () => {
  it.each([
    [2e-2, 16],
    [4e-2, 30],
  ])('beside a tail covers 1 − exp(−n d L) of the strip, hairs of %f mm, %i to the mm', (diameterMm, perMm) => {
    const walker = new ClothWalker(packed(withHair(wefts(true), { ...upright, diameterMm, perMm }, 'weft')));
    const [from, to, across, along] = [0.7, 1.2, 8, 200];
    let met = 0;
    for (let side = 0; side < 4 * ROWS; side++) {
      for (let j = 0; j < along; j++) {
        for (let i = 0; i < across; i++) {
          const away = 2 + (36 * (j + 0.5 + 0.37 * (i % 3))) / along;
          const x = side & 2 ? 2 + away : -away;
          const y = 20 * (side >> 2) + (side & 1 ? -1 : 1) * (from + ((to - from) * (i + 0.5)) / across);
          if (walker.walk(hit, x, y, 50, 0, 0, -1, 0, 1e3) && hit.isHair) met++;
        }
      }
    }
    // A hair at angle φ from the strip's plane crosses a line y beside the middle where its length, even over 0.8..1.2, carries it
    // there: (0.5 + L) cos φ > y > 0.475 cos φ.
    let mean = 0;
    let hairs = 0;
    for (let i = 0; i < 100; i++) {
      const y = from + ((to - from) * (i + 0.5)) / 100;
      let share = 0;
      for (let k = 0; k < 400; k++) {
        const cos = Math.cos((2 * Math.PI * (k + 0.5)) / 400);
        const needs = cos > 0 ? y / cos - 0.5 : Infinity;
        if (y > 0.475 * cos) share += Math.min(1, Math.max(0, (1.2 - needs) / 0.4)) / 400;
      }
      mean += (1 - Math.exp(-perMm * diameterMm * share)) / 100;
      hairs += (4 * ROWS * 36 * perMm * share) / 100;
    }
    // Chance alone, and 2 % for cells, which are more even than chance.
    const tolerance = 0.02 + 3 / Math.sqrt(hairs);
    expect(tolerance).toBeLessThan(0.12);
    expect(met / (4 * ROWS * across * along) / mean).toBeGreaterThan(1 - tolerance);
    expect(met / (4 * ROWS * across * along) / mean).toBeLessThan(1 + tolerance);
  });

  it('goes all round a turn, and stands no further off it than hair does, seed 4', () => {
    const hair = { ...upright, diameterMm: 0.05, perMm: 60 };
    const cloth = packed(withHair(wefts(false, 4), hair, 'weft'));
    const walker = new ClothWalker(cloth);
    const random = seededRandom(4);
    // By the angle about the turn's middle, twelve parts of the half circle outside the cloth.
    const parts = new Uint32Array(12);
    const point = [0, 0, 0];
    for (let k = 0; k < 20_000; k++) {
      const [x, y] = [2 + 5 * random(), 8 * random()];
      if (!walker.walk(hit, x, y, 9, 0, 0, -1, 0, 1e3) || !hit.isHair || hit.kind !== ThreadKind.extra) continue;
      const at = hit.index * EXTRA_TEXELS * 4;
      let nearest = Infinity;
      for (let j = 0; j <= 64; j++) {
        const [s, r] = [j / 64, 1 - j / 64];
        const weights = [r * r, 2 * r * s, s * s];
        for (let axis = 0; axis < 3; axis++)
          point[axis] = weights.reduce((sum, w, p) => sum + w * cloth.extraTable[at + 4 * p + axis], 0);
        nearest = Math.min(nearest, Math.hypot(x - point[0], y - point[1], 9 - hit.t - point[2]));
      }
      // Pieces laid straight cut corners by 1 − cos of half their bend, 2 %.
      expect(nearest).toBeLessThan(1.02 * (0.5 + 1.2) + hair.diameterMm);
      if (y > 0 && y < 4 && x > 2) parts[Math.floor((12 * (Math.atan2(y - 2, x - 2) + Math.PI / 2)) / Math.PI)]++;
    }
    expect(Math.min(...parts)).toBeGreaterThan(20);
  });

  it('is listed for drawing a cell at a time, on the side of the cloth where it hangs', () => {
    const cloth = packed(withHair(wefts(true), { ...upright, perMm: 8, diameterMm: 0.02 }, 'weft'));
    const groups = hairThreads(cloth).groups.filter(({ kind }) => kind === ThreadKind.extra);
    expect(groups).toHaveLength(2);
    for (const { acrossMm, placesMm, cellMm } of groups) {
      const [from, to] = acrossMm!;
      // By as much more as hair and its cells reach.
      expect(to < TAIL_MM / 2 || from > -TAIL_MM / 2).toBe(true);
      // One cell more at either end, since lattices are shifted by less than a cell.
      expect(placesMm.length / (ROWS * (TAIL_MM / cellMm))).toBeGreaterThan(1);
      expect(placesMm.length).toBeLessThan(ROWS * (TAIL_MM / cellMm + 3));
    }
  });
});
