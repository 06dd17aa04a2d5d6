import { describe, expect, test } from 'vitest';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { lookAtCloth, lookThroughClass, threadMet } from '#engine/packing/far/classRays.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { surfaceNormal } from '#engine/packing/walk/surface.ts';
import { ClothWalker, createWalkHit, type WalkHit } from '#engine/packing/walk/walkCloth.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { clothFixture, type FixtureOptions } from '#tests/helpers/clothFixtures.ts';

type Direction = readonly [number, number, number];

function packed(options: FixtureOptions): PackedCloth {
  const { problem, geometry, materials } = clothFixture(options);
  return packCloth(problem, geometry, materials);
}

/** Direction at an angle from the normal and an azimuth from the weft, degrees. */
function towards(inclination: number, azimuth: number, side = 1): Direction {
  const [i, a] = [(inclination * Math.PI) / 180, (azimuth * Math.PI) / 180];
  return [Math.sin(i) * Math.cos(a), Math.sin(i) * Math.sin(a), side * Math.cos(i)];
}

interface Shares {
  warp: number;
  weft: number;
  warpLit: number;
  weftLit: number;
}

const hit = createWalkHit();
const shadow = createWalkHit();
const normal = new Float64Array(3);

/** Adds what a ray met: its thread, and whether the light reaches it. */
function count(out: Shares, walker: ClothWalker, met: WalkHit, at: Direction, light: Direction, share: number): void {
  const { isWarp } = threadMet(walker.cloth, met);
  out[isWarp ? 'warp' : 'weft'] += share;
  surfaceNormal(normal, walker, met, ...at);
  if (normal[0] * light[0] + normal[1] * light[1] + normal[2] * light[2] <= 0) return;
  const [sx, sy, sz] = at.map((value, k) => value + 4e-3 * normal[k]);
  if (!walker.walk(shadow, sx, sy, sz, ...light, 0, 1e3)) out[isWarp ? 'warpLit' : 'weftLit'] += share;
}

/** Shares by rays over a rectangle of whole repeats: no class. */
function walkedShares(
  cloth: PackedCloth,
  from: readonly [number, number],
  size: readonly [number, number],
  view: Direction,
  light: Direction,
  rays: number,
): Shares {
  const walker = new ClothWalker(cloth);
  const out = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  const away = 5 / Math.abs(view[2]);
  for (let k = 0; k < rays; k++) {
    // R2, a plain sequence of low discrepancy.
    const x = from[0] + size[0] * evenX(k) + away * view[0];
    const y = from[1] + size[1] * evenY(k) + away * view[1];
    const z = away * view[2];
    if (!walker.walk(hit, x, y, z, -view[0], -view[1], -view[2], 0, 1e3)) continue;
    count(out, walker, hit, [x - hit.t * view[0], y - hit.t * view[1], z - hit.t * view[2]], light, 1 / rays);
  }
  return out;
}

/** Shares of the whole cloth by lines of sight through cells of its kinds of crossings. */
function farShares(cloth: PackedCloth, far: FarCloth, view: Direction, light: Direction, rays: number): Shares {
  const walker = new ClothWalker(cloth);
  const out = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  lookAtCloth(walker, far, rays, view, (share, { origin, met, hit: found }) => {
    if (!met) return;
    const at = origin.map((value, k) => value - found.t * view[k]) as unknown as Direction;
    count(out, walker, found, at, light, share);
  });
  return out;
}

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });

interface Sample {
  readonly name: string;
  readonly options: FixtureOptions;
  /** Whole repeats to look at: corner and size, mm. */
  readonly from: readonly [number, number];
  readonly size: readonly [number, number];
}

const CLOTHS: Sample[] = [
  {
    name: 'open plain, round threads',
    options: { ends: 60, rows: 60, warp: [round(0.6)], weft: [round(0.5)], periodEnds: 2, periodRows: 2 },
    from: [24, 24],
    size: [8, 8],
  },
  {
    name: 'close 2/2 twill, flattened',
    options: {
      ends: 60,
      rows: 60,
      warp: [{ widthMm: 0.9, heightMm: 0.5 }],
      weft: [{ widthMm: 1, heightMm: 0.7 }],
      warpUp: (row, end) => (end - row + 400) % 4 < 2,
    },
    from: [24, 24],
    size: [8, 8],
  },
  {
    name: 'close 1/4 satin, thick and thin wefts by turns, picks nearer than ends',
    options: {
      ends: 64,
      rows: 64,
      warp: [round(0.7)],
      weft: [{ widthMm: 0.9, heightMm: 0.5 }, round(0.4)],
      rowYarn: (k) => k & 1,
      endX: (k) => 0.8 * k,
      rowY: (k) => 0.7 * k,
      warpUp: (row, end) => (end + 500 - 2 * row) % 5 === 0,
    },
    from: [16, 14],
    size: [8, 7],
  },
  {
    name: '3/1 twill and plain in stripes, warps of two widths',
    options: {
      ends: 100,
      rows: 64,
      warp: [round(0.8), { widthMm: 0.95, heightMm: 0.6 }],
      weft: [{ widthMm: 0.95, heightMm: 0.7 }],
      endYarn: (k) => (k % 16 < 8 ? 0 : 1),
      warpUp: (row, end) => (end % 16 < 8 ? ((end + row) & 1) === 0 : (end - row + 400) % 4 < 3),
    },
    from: [31.5, 24],
    size: [16, 8],
  },
];

const SHARE_MOST = 0.01;
/** So low, a line of sight passes more neighbours than kinds of crossings know. */
const SHARE_MOST_75 = 0.015;
/** From how many rays each is told. */
const RAYS = 16000;

describe('shares from afar', () => {
  for (const { name, options, from, size } of CLOTHS) {
    test(`${name}: as rays find them, face and back`, () => {
      const cloth = packed(options);
      const far = buildFar(cloth);
      for (const side of [1, -1]) {
        for (const inclination of [0, 30, 60, 75]) {
          for (const azimuth of inclination === 0 ? [0] : [0, 35, 90, 230]) {
            const view = towards(inclination, azimuth, side);
            const light = towards(48, 130, side);
            const near = walkedShares(cloth, from, size, view, light, RAYS);
            const kinds = farShares(cloth, far, view, light, RAYS);
            const most = inclination > 60 ? SHARE_MOST_75 : SHARE_MOST;
            for (const what of ['warp', 'weft', 'warpLit', 'weftLit'] as const) {
              const off = kinds[what] - near[what];
              expect(Math.abs(off), `${what}, ${inclination}° at ${azimuth}°, side ${side}`).toBeLessThan(most);
            }
          }
        }
      }
    }, 120000);
  }
});

/** What of a band's area shows warp and weft: its crossings, each by lines of sight through cells of its class. */
function bandShares(cloth: PackedCloth, far: FarCloth, lines: readonly [number, number], view: Direction) {
  const walker = new ClothWalker(cloth);
  const ofClass = Array.from({ length: far.classes }, (_, index) => {
    const out = { warp: 0, weft: 0 };
    lookThroughClass(walker, far, index, 1000, 0, view, ({ met, hit: found }) => {
      if (met) out[threadMet(cloth, found).isWarp ? 'warp' : 'weft'] += 1 / 1000;
    });
    return out;
  });
  const out = { warp: 0, weft: 0 };
  const ends = [20, 40] as const;
  const share = 1 / ((lines[1] - lines[0]) * (ends[1] - ends[0]));
  for (let line = lines[0]; line < lines[1]; line++) {
    for (let end = ends[0]; end < ends[1]; end++) {
      const shown = ofClass[far.classOf[(line % far.lines) * far.ends + (end % far.ends)]];
      out.warp += share * shown.warp;
      out.weft += share * shown.weft;
    }
  }
  return out;
}

test('a closed band and an open one of one cloth each show from afar what rays find there', () => {
  const cloth = packed({
    ends: 60,
    rows: 80,
    warp: [round(0.5)],
    weft: [round(0.95), round(0.3)],
    rowYarn: (row) => (row < 40 ? 0 : 1),
  });
  const far = buildFar(cloth);
  for (const [inclination, azimuth] of [
    [0, 0],
    [45, 90],
    [60, 0],
  ]) {
    const view = towards(inclination, azimuth);
    for (const weft of [0, 1]) {
      const near = walkedShares(cloth, [20, weft === 0 ? 14 : 54], [20, 12], view, view, 8000);
      const table = bandShares(cloth, far, weft === 0 ? [14, 26] : [54, 66], view);
      const where = `weft ${weft}, ${inclination}° at ${azimuth}°`;
      expect(Math.abs(table.warp - near.warp), `warp, ${where}`).toBeLessThan(SHARE_MOST);
      expect(Math.abs(table.weft - near.weft), `weft, ${where}`).toBeLessThan(SHARE_MOST);
    }
  }
}, 120000);
