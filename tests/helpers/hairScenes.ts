import { RowEnd } from '#engine/cloth/clothTypes.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { type ClothFixture, clothFixture } from './clothFixtures.ts';

/** Straight fuzz of even length, upright, unless told otherwise. */
export function fuzz(more: Partial<YarnHair> = {}): YarnHair {
  return {
    form: 'hair',
    perMm: 8,
    meanLengthMm: 1,
    longestMm: 3,
    evenness: 0,
    diameterMm: 0.016,
    taper: 0.3,
    leanMeanRad: 0.8,
    heightMm: 1.2,
    coreShare: 1,
    pressed: false,
    provenance: {},
    ...more,
  };
}

/** Pile cut alike, standing off half the body's radius. */
export function pile(more: Partial<YarnHair> = {}): YarnHair {
  return fuzz({
    perMm: 60,
    meanLengthMm: 0.3,
    longestMm: 0.36,
    evenness: 1,
    diameterMm: 0.06,
    taper: 0.7,
    leanMeanRad: 0.3,
    heightMm: 0.36,
    coreShare: 0.5,
    pressed: true,
    ...more,
  });
}

/** Chenille as on the shelf: close locks of fine cut fibre. */
export function chenille(more: Partial<YarnHair> = {}): YarnHair {
  return pile({
    perMm: 430,
    meanLengthMm: 0.25,
    longestMm: 0.3,
    diameterMm: 0.04,
    taper: 0.2,
    heightMm: 0.3,
    ...more,
  });
}

/** Hair that turns as far and varies as much in thickness as brushed mohair's, but is short beside the cloth. */
export function bowed(more: Partial<YarnHair> = {}): YarnHair {
  return fuzz({
    diameterMm: 0.08,
    leanMeanRad: 1,
    curvaturePerMm: 1.3,
    unevenness: 0.45,
    ...more,
  });
}

/** Loops of a thick strand. */
export function loops(more: Partial<YarnHair> = {}): YarnHair {
  return fuzz({
    form: 'loop',
    perMm: 0.8,
    meanLengthMm: 1.6,
    longestMm: 2.4,
    evenness: 0.5,
    diameterMm: 0.25,
    taper: 0,
    leanMeanRad: 0.5,
    heightMm: 1.2,
    coreShare: 0.8,
    ...more,
  });
}

/** A thin strand wound close about a core. */
export function wraps(): YarnHair {
  return loops({ perMm: 3.2, diameterMm: 0.2, heightMm: 0.1, coreShare: 0.66, windsPerMm: -0.8 });
}

/** Threads that stand off a strip's edges. */
export function frayed(more: Partial<YarnHair> = {}): YarnHair {
  return fuzz({
    form: 'edge',
    perMm: 4,
    meanLengthMm: 1,
    longestMm: 2,
    diameterMm: 0.12,
    taper: 0.4,
    leanMeanRad: 0.5,
    heightMm: 2,
    ...more,
  });
}

/** The fixture with this hair on every yarn, or on the warp's or weft's alone. */
export function withHair(cloth: ClothFixture, hair: YarnHair, where: 'all' | 'warp' | 'weft' = 'all'): ClothFixture {
  const warps = cloth.problem.endYarn.reduce((most, yarn) => Math.max(most, yarn + 1), 0);
  const materials = cloth.materials.map((material, index) => {
    const has = where === 'all' || (where === 'warp') === index < warps;
    return has ? { ...material, hair } : material;
  });
  return { ...cloth, materials };
}

/** Nine straight ends, 20 mm apart and 40 mm long, with nothing but hair beside them. */
export function loneEnds(widthMm: number, hair: YarnHair): ClothFixture {
  const cloth = clothFixture({
    ends: 9,
    rows: 3,
    warp: [{ widthMm, heightMm: widthMm }],
    weft: [{ widthMm: 0.002, heightMm: 0.002 }],
    endX: (end) => end * 20,
    rowY: (row) => row * 20,
    warpShare: 0,
  });
  return { ...cloth, materials: cloth.materials.map((each, k) => (k === 0 ? { ...each, hair } : each)) };
}

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });

/** Flat wefts on thin ends; wefts cut off with tails; threads that leave their lines to the side. */
export const flatWefts = clothFixture({
  ends: 7,
  rows: 7,
  warp: [round(0.2)],
  weft: [{ widthMm: 0.8, heightMm: 0.1 }],
});
export const fringed = clothFixture({
  ends: 4,
  rows: 5,
  warp: [round(0.3)],
  weft: [round(0.6)],
  rowY: (row) => 1.6 * row,
  tailMm: 4,
  rowEnd: () => RowEnd.cut,
});
export const wanderingThreads = clothFixture({
  ends: 7,
  rows: 7,
  warp: [round(0.6)],
  weft: [round(0.5)],
  offsets: (_family, row, end) => [0.2 * Math.sin(row * 3 + end), 0.2 * Math.cos(row + end)],
});
