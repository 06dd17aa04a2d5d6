import { describe, expect, it } from 'vitest';
import { MAX_HAIR_LAYERS, MAX_REACH, ThreadKind, TILE_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { HAIR_POINTS, latticeOf, layHairs } from '#engine/packing/hairTable.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { threadOwner } from '#engine/packing/threadOwner.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { fuzz, loneEnds, loops, withHair } from '#tests/helpers/hairScenes.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const hit = createWalkHit();

function pack(cloth: ClothFixture) {
  return packCloth(cloth.problem, cloth.geometry, cloth.materials);
}

const ENDS = 9;
const LONG_MM = 36;

/** Share of rays straight down at x from..to beside lone ends, on both sides, that meet their hair; a grid of rays. */
function coverBeside(hair: YarnHair, from: number, to: number, across: number, along: number): number {
  const walker = new ClothWalker(pack(loneEnds(1, hair)));
  let met = 0;
  for (let side = 0; side < 2 * ENDS; side++) {
    const sign = side & 1 ? -1 : 1;
    for (let j = 0; j < along; j++) {
      for (let i = 0; i < across; i++) {
        const x = (side >> 1) * 20 + sign * (from + ((to - from) * (i + 0.5)) / across);
        const y = 2 + (LONG_MM * (j + 0.5 + 0.37 * (i % 3))) / along;
        if (walker.walk(hit, x, y, 50, 0, 0, -1, 0, 1e3) && hit.isHair) met++;
      }
    }
  }
  return met / (2 * ENDS * across * along);
}

describe('hair beside a straight yarn', () => {
  // Upright hairs all round, cut alike: nobody hides behind the body, and the closed form is exact.
  const upright = fuzz({
    evenness: 1,
    leanMeanRad: 0,
    taper: 0,
    perMm: 20,
    meanLengthMm: 1,
    longestMm: 1.2,
    heightMm: 2,
  });

  it.each([
    [1e-2, 8],
    [2e-2, 16],
    [4e-2, 30],
  ])('covers 1 − exp(−n d L) of the strip, hairs of %f mm, %i to the mm', (diameterMm, perMm) => {
    const [from, to] = [0.7, 1.2];
    const cover = coverBeside({ ...upright, diameterMm, perMm }, from, to, 8, 1200);
    // Hairs at angle φ from the plane of the strip, root at 0.5 cos φ, cross a strip at x where their length carries
    // them there; seen from above each is a line across x of slope 0, so of width d. Mean number on a line along the yarn:
    // the share of hairs with (0.5 + L) cos φ > x > 0.5 cos φ, L even over 0.8..1.2, both upper and lower side counted.
    let mean = 0;
    let hairs = 0;
    const steps = 100;
    for (let i = 0; i < steps; i++) {
      const x = from + ((to - from) * (i + 0.5)) / steps;
      let share = 0;
      for (let k = 0; k < 400; k++) {
        const cos = Math.cos((2 * Math.PI * (k + 0.5)) / 400);
        // Longer than what carries it to x: even over 0.8..1.2.
        const needs = cos > 0 ? x / cos - 0.5 : Infinity;
        if (x > 0.475 * cos) share += Math.min(1, Math.max(0, (1.2 - needs) / 0.4)) / 400;
      }
      mean += (1 - Math.exp(-perMm * diameterMm * share)) / steps;
      hairs += (2 * ENDS * LONG_MM * perMm * share) / steps;
    }
    // Chance alone: a line along the yarns crosses so many hairs. And 2 % for cells, which are more even than chance.
    const tolerance = 0.02 + 3 / Math.sqrt(hairs);
    expect(tolerance).toBeLessThan(0.12);
    expect(cover / mean).toBeGreaterThan(1 - tolerance);
    expect(cover / mean).toBeLessThan(1 + tolerance);
  });

  it('is the same mean cover however wide the pixels that look are', () => {
    const hair = { ...upright, diameterMm: 0.03 };
    // Along the yarn, rays half a hair and five hairs apart: the picture of a pixel's middle, and of one ten times as wide.
    const fine = coverBeside(hair, 0.8, 0.9, 2, 2400);
    const coarse = coverBeside(hair, 0.8, 0.9, 20, 240);
    expect(Math.abs(coarse / fine - 1)).toBeLessThan(0.02);
  });

  it('roots on every mm as many hairs as the yarn says', () => {
    for (const perMm of [0.5, 3, 17, 100, 1000]) {
      const hair = fuzz({ perMm });
      const { cellMm, sectors, layers, presence } = latticeOf(hair, 0.3);
      expect((layers * presence * sectors) / cellMm).toBeCloseTo(perMm, 6);
      expect(layers).toBeLessThanOrEqual(MAX_HAIR_LAYERS);
      expect(presence).toBeLessThanOrEqual(1);
    }
  });
});

describe('hair of one side', () => {
  /** Of hairs met beside lone ends by rays from above and from below, the share rooted on the upper half. */
  function shareAbove(onFace: number): { share: number; met: number } {
    const hair = fuzz({ evenness: 1, leanMeanRad: 0, taper: 0, perMm: 12, diameterMm: 0.01, heightMm: 2, onFace });
    const walker = new ClothWalker(pack(loneEnds(1, hair)));
    let [above, met] = [0, 0];
    const random = seededRandom(21);
    for (let k = 0; k < 40_000; k++) {
      const x = Math.floor(9 * random()) * 20 + (random() < 0.5 ? -1 : 1) * (0.6 + 0.6 * random());
      const up = k & 1 ? 1 : -1;
      if (!walker.walk(hit, x, 2 + 36 * random(), 50 * -up, 0, 0, up, 0, 1e3) || !hit.isHair) continue;
      met++;
      if (-up * (50 - hit.t) > 0) above++;
    }
    return { share: above / met, met };
  }

  it.each([
    [0, 0.5],
    [0.5, 0.75],
    [-0.5, 0.25],
    [1, 1],
  ])('where %f more of it stands towards the face, %f of it does, and as much is met', (onFace, wanted) => {
    const { share, met } = shareAbove(onFace);
    // Sectors that lie across the middle count whole: a hair of those may root a little beyond.
    expect(Math.abs(share - wanted)).toBeLessThan(0.06);
    expect(Math.abs(met / shareAbove(0).met - 1)).toBeLessThan(0.06);
  });
});

describe('hair in the walk', () => {
  const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });
  const plain = clothFixture({ ends: 12, rows: 12, warp: [round(0.5)], weft: [round(0.6)] });

  it('adds to a cloth, and takes nothing of it: where no hair is met, the same thread is, seed 3', () => {
    const bare = new ClothWalker(pack(plain));
    const fuzzy = new ClothWalker(pack(withHair(plain, fuzz())));
    const other = createWalkHit();
    const random = seededRandom(3);
    for (let k = 0; k < 4000; k++) {
      const ray = [11 * random(), 11 * random(), 9, random() - 0.5, random() - 0.5, -1, 0, 1e3] as const;
      const without = bare.walk(hit, ...ray);
      const withIt = fuzzy.walk(other, ...ray);
      if (other.isHair) expect(other.t).toBeLessThan(without ? hit.t + 1e-9 : Infinity);
      else
        expect([withIt, withIt && other.index, withIt && other.kind]).toEqual([
          without,
          without && hit.index,
          without && hit.kind,
        ]);
    }
  });

  it('keeps its thread’s name', () => {
    const walker = new ClothWalker(pack(withHair(plain, fuzz({ perMm: 40 }), 'weft')));
    const random = seededRandom(5);
    let hairs = 0;
    for (let k = 0; k < 3000; k++) {
      if (!walker.walk(hit, 11 * random(), 11 * random(), 9, 0.3, 0, -1, 0, 1e3) || !hit.isHair) continue;
      hairs++;
      expect(threadOwner(walker.cloth.extraTable, hit.kind, hit.index) & 1).toBe(0);
    }
    expect(hairs).toBeGreaterThan(50);
  });

  it('longer than the walk looks: lies along the yarn, and nothing is cut off', () => {
    const long = fuzz({ perMm: 2, meanLengthMm: 10, longestMm: 30, heightMm: 20, leanMeanRad: 0.4 });
    const packed = pack(withHair(plain, long));
    expect(packed.warnings).toEqual([]);
    // Threads stand 1 mm apart.
    for (let tile = 0; tile < packed.tilesAcross * packed.tilesUp; tile++) {
      expect(packed.tileTable[tile * TILE_TEXELS * 4 + 6]).toBeLessThan(MAX_REACH);
    }
    expect(packed.tileTable[6]).toBeGreaterThan(MAX_REACH - 1);
  });

  it('comes alike from rays of any length: a ray cut in parts meets what the whole ray meets, seed 9', () => {
    const walker = new ClothWalker(pack(withHair(plain, fuzz({ perMm: 30, diameterMm: 0.03 }))));
    const part = createWalkHit();
    const random = seededRandom(9);
    let hairs = 0;
    let differ = 0;
    for (let k = 0; k < 2000; k++) {
      const [x, y] = [11 * random(), 11 * random()];
      const [dx, dy] = [0.4 * (random() - 0.5), 0.4 * (random() - 0.5)];
      const whole = walker.walk(hit, x, y, 5, dx, dy, -1, 0, 1e3);
      if (!whole || !hit.isHair) continue;
      hairs++;
      const before = walker.walk(part, x, y, 5, dx, dy, -1, 0, hit.t - 0.05);
      if (before && !part.isHair) differ++;
    }
    expect(hairs).toBeGreaterThan(100);
    expect(differ).toBe(0);
  });
});

describe('fuzz and legibility', () => {
  /** A stripe of black and white wefts, two and two, seen straight down: share of white rays less share of black ones. */
  function contrast(hair: YarnHair | null): number {
    const stripes = clothFixture({
      ends: 10,
      rows: 13,
      warp: [{ widthMm: 0.2, heightMm: 0.2 }],
      weft: [
        { widthMm: 0.8, heightMm: 0.6 },
        { widthMm: 0.8, heightMm: 0.6 },
      ],
      rowYarn: (row) => (row >> 1) & 1,
    });
    const walker = new ClothWalker(pack(hair ? withHair(stripes, hair, 'weft') : stripes));
    let own = 0;
    let other = 0;
    for (let j = 0; j < 90; j++) {
      for (let i = 0; i < 90; i++) {
        const x = 1 + (7 * (i + 0.5)) / 90;
        // Over the middle stripes only; the stripe that a place belongs to is the one whose threads lie nearest.
        const y = 3.5 + (4 * (j + 0.5)) / 90;
        if (!walker.walk(hit, x, y, 9, 0, 0, -1, 0, 1e3) || hit.kind !== ThreadKind.weft) continue;
        const here = (Math.round(y) >> 1) & 1;
        if (((hit.index >> 1) & 1) === here) own++;
        else other++;
      }
    }
    return (own - other) / (own + other);
  }

  it('contrast falls with the length of hair, and with its density', () => {
    const base = fuzz({ diameterMm: 0.03, perMm: 12 });
    const byLength = [0.5, 1, 1.6, 2.4].map((mean) =>
      contrast({ ...base, meanLengthMm: mean, longestMm: 3 * mean, heightMm: 1.3 * mean }),
    );
    const byDensity = [3, 12, 48].map((perMm) => contrast({ ...base, perMm }));
    const bare = contrast(null);
    expect(byLength.every((value, k) => value < (k ? byLength[k - 1] : bare))).toBe(true);
    expect(byDensity.every((value, k) => value < (k ? byDensity[k - 1] : bare))).toBe(true);
  });
});

describe('hairs as their cells hold them', () => {
  const RADIUS = 1;
  const pointsOf = (hair: YarnHair) => {
    const lattice = latticeOf(hair, RADIUS);
    const table = layHairs(hair, lattice, RADIUS, hair.heightMm);
    const point = (k: number, which: number) => {
      const at = (k * HAIR_POINTS + which) * 4;
      return { along: table[at], height: table[at + 1], angle: Math.atan2(table[at + 3], table[at + 2]) };
    };
    return Array.from({ length: table.length / (HAIR_POINTS * 4) }, (_, k) => [point(k, 0), point(k, 1), point(k, 2)]);
  };

  it('hair longer than its cells is drawn in pieces that run the way it does', () => {
    const sweepRad = 0.5;
    const hair = fuzz({ perMm: 60, meanLengthMm: 20, longestMm: 60, leanMeanRad: 1.3, heightMm: 0.1, sweepRad });
    for (const [root, , tip] of pointsOf(hair)) {
      const around = (tip.angle - root.angle) * (RADIUS + hair.heightMm);
      expect(Math.atan2(Math.abs(around), Math.abs(tip.along - root.along))).toBeLessThan(sweepRad + 0.1);
    }
  });

  it('both ends of a loop’s strand lie wholly within the body', () => {
    const hair = loops({ diameterMm: 0.25 });
    for (const [, , tip] of pointsOf(hair)) expect(tip.height).toBeLessThan(-hair.diameterMm / 2);
  });
});
