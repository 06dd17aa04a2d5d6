import { type ClothFixture, clothFixture } from './clothFixtures.ts';
import { cutFixture } from './cutScenes.ts';

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });

export interface WalkScene {
  readonly name: string;
  readonly cloth: ClothFixture;
}

const unevenX = (() => {
  // Pitches 1 : 10 by turns of three.
  const at: number[] = [0];
  for (let k = 1; k < 40; k++) at.push(at[k - 1] + (k % 6 < 3 ? 0.2 : 2));
  return at;
})();

/** Seeded, so that a failure comes again (mulberry32). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function twill(row: number, end: number): boolean {
  return (end - row + 400) % 4 < 2;
}

/** Cloths that try the walk: thread half width over pitch a/p, uneven pitch, offsets, strips, partial passes. */
export function walkScenes(): WalkScene[] {
  const random = seededRandom(7);
  const wander = Float64Array.from({ length: 4096 }, () => random() * 2 - 1);
  const at = (family: string, row: number, end: number, salt: number) =>
    wander[(row * 61 + end * 7 + salt * 131 + (family === 'warp' ? 997 : 0)) % 4096];
  return [
    {
      name: 'a/p 0.3, plain',
      cloth: clothFixture({ ends: 14, rows: 12, warp: [round(0.6)], weft: [round(0.6)] }),
    },
    {
      name: 'a/p 1, plain, flattened',
      cloth: clothFixture({
        ends: 14,
        rows: 12,
        warp: [{ widthMm: 2, heightMm: 0.5 }],
        weft: [{ widthMm: 2, heightMm: 0.6 }],
      }),
    },
    {
      name: 'a/p 2.5, twill',
      cloth: clothFixture({
        ends: 20,
        rows: 20,
        warp: [{ widthMm: 5, heightMm: 0.5 }],
        weft: [{ widthMm: 5, heightMm: 0.7 }],
        warpUp: twill,
      }),
    },
    {
      name: 'pitch uneven 1:10',
      cloth: clothFixture({
        ends: 20,
        rows: 16,
        warp: [round(0.3)],
        weft: [{ widthMm: 0.35, heightMm: 0.3 }],
        endX: (k) => unevenX[k],
        rowY: (k) => unevenX[k] * 0.8,
        warpUp: twill,
      }),
    },
    {
      name: 'offsets up to 0.8 p, seed 7',
      cloth: clothFixture({
        ends: 14,
        rows: 14,
        warp: [round(0.7)],
        weft: [round(0.6)],
        offsets: (family, row, end) => [0.8 * at(family, row, end, 1), 0.3 * at(family, row, end, 2)],
      }),
    },
    {
      name: 'strips beside thin threads',
      cloth: clothFixture({
        ends: 24,
        rows: 14,
        warp: [round(0.3)],
        weft: [{ widthMm: 2.4, heightMm: 0.12, strip: true }, round(0.5)],
        rowYarn: (k) => k & 1,
        endX: (k) => k * 0.6,
        rowY: (k) => k * 1.4,
      }),
    },
    {
      name: 'partial passes side by side',
      cloth: clothFixture({
        ends: 20,
        rows: 24,
        warp: [round(0.5)],
        weft: [round(0.8), round(0.6)],
        rowYarn: (k) => (k % 3 === 1 ? 1 : 0),
        rowY: (k) => Math.floor(k / 2),
        rowPick: (k) => Math.floor(k / 2),
        rowSpan: (k) => (k & 1 ? [11, 19] : [0, 9]),
        warpUp: (row, end) => ((Math.floor(row / 2) + end) & 1) === 0,
      }),
    },
    {
      name: 'laid-in passes over the ground at one height, seed 7',
      cloth: clothFixture({
        ends: 16,
        rows: 24,
        warp: [round(0.4)],
        weft: [round(0.4), round(0.9)],
        rowYarn: (k) => k & 1,
        rowY: (k) => Math.floor(k / 2),
        rowPick: (k) => Math.floor(k / 2),
        rowSpan: (k) => (k & 1 ? [4, 11] : [0, 15]),
        warpUp: (row, end) => ((Math.floor(row / 2) + end) & 1) === 0,
        offsets: (family, row) => [family === 'weft' && row & 1 ? 0.5 : 0, 0],
        tailMm: 2,
        rowEnd: (k) => (k & 1 ? 4 : 0),
      }),
    },
    {
      name: 'sections and wraps that change, seed 7',
      cloth: clothFixture({
        ends: 14,
        rows: 12,
        warp: [round(0.6)],
        weft: [round(0.7)],
        sections: (family, row, end) => [1.2 + 0.4 * at(family, row, end, 3), 0.8 + 0.3 * at(family, row, end, 4)],
        wraps: (family, row, end) => [at(family, row, end, 5), at(family, row, end, 6)],
        slopes: (family, row, end) => 0.4 * at(family, row, end, 8),
      }),
    },
    {
      name: 'floats clipped, a corner cut off, of a repeat of 4 by 4',
      cloth: cutFixture(
        clothFixture({
          ends: 24,
          rows: 24,
          warp: [{ ...round(0.6), plies: 2 }],
          weft: [{ ...round(0.7), plies: 3 }],
          warpUp: (row, end) => (end - row + 400) % 4 === 0,
          periodRows: 4,
          periodEnds: 4,
        }),
        [
          { kind: 'clip', side: 'face', threads: 'weft', atLeast: 3, leaveMm: 1.4, part: { toPick: 12 } },
          {
            kind: 'cut',
            line: [
              { end: 3, pick: 24 },
              { end: 23.4, pick: 10.2 },
            ],
            what: 'through',
            keep: 'right',
          },
        ],
      ),
    },
    {
      name: 'a repeat of 4 by 4 over 60 by 60',
      cloth: clothFixture({
        ends: 60,
        rows: 60,
        warp: [round(0.8)],
        weft: [round(0.9)],
        warpUp: twill,
        periodRows: 4,
        periodEnds: 4,
      }),
    },
  ];
}
