import { describe, expect, test } from 'vitest';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import {
  classArea,
  classShares,
  type FarShares,
  farShares,
  groupOf,
  viewFactor,
} from '#engine/packing/far/farShares.ts';
import { CLASS_TEXELS, type FarCloth } from '#engine/packing/far/farTypes.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { surfaceNormal } from '#engine/packing/walk/surface.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
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

const hit = createWalkHit();
const shadow = createWalkHit();
const normal = new Float64Array(3);

/** Shares by walking rays over a rectangle of whole repeats: no table, no class, no horizon. */
function walkedShares(
  cloth: PackedCloth,
  from: readonly [number, number],
  size: readonly [number, number],
  view: Direction,
  light: Direction,
  rays: number,
): FarShares {
  const walker = new ClothWalker(cloth);
  const out = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  const reach = 5;
  for (let k = 0; k < rays; k++) {
    // R2, a plain sequence of low discrepancy.
    const away = reach / Math.abs(view[2]);
    const x = from[0] + size[0] * ((0.5 + k * 0.7548776662466927) % 1) + away * view[0];
    const y = from[1] + size[1] * ((0.5 + k * 0.5698402909980532) % 1) + away * view[1];
    const z = away * view[2];
    if (!walker.walk(hit, x, y, z, -view[0], -view[1], -view[2], 0, 1e3)) continue;
    const isWarp = hit.kind === ThreadKind.warp;
    out[isWarp ? 'warp' : 'weft'] += 1 / rays;
    const [px, py, pz] = [x - hit.t * view[0], y - hit.t * view[1], z - hit.t * view[2]];
    surfaceNormal(normal, walker, hit, px, py, pz);
    if (normal[0] * light[0] + normal[1] * light[1] + normal[2] * light[2] <= 0) continue;
    const off = 4e-3;
    const [sx, sy, sz] = [px + off * normal[0], py + off * normal[1], pz + off * normal[2]];
    if (!walker.walk(shadow, sx, sy, sz, light[0], light[1], light[2], 0, 1e3)) {
      out[isWarp ? 'warpLit' : 'weftLit'] += 1 / rays;
    }
  }
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

/**
 * Errors that are left: 8000 rays here and 1200 a direction in the table (0.004 each), and views between the table's
 * directions, where at 75° a step of a few degrees changes what shows by as much.
 */
const SHARE_RMS = 0.01;
const SHARE_MOST = 0.02;
const SHARE_MOST_75 = 0.04;
/** Where the light reaches is told by horizons alone: most where eye and light look down the same open channel. */
const LIT_RMS = 0.025;
const LIT_MOST = 0.1;

describe('shares from afar', () => {
  for (const { name, options, from, size } of CLOTHS) {
    test(`${name}: as rays find them, face and back`, () => {
      const cloth = packed(options);
      const far = buildFar(cloth);
      const sums = { share: 0, lit: 0, count: 0, countTo60: 0 };
      for (const side of [1, -1]) {
        for (const inclination of [0, 30, 60, 75]) {
          for (const azimuth of inclination === 0 ? [0] : [0, 35, 90, 230]) {
            const view = towards(inclination, azimuth, side);
            const light = towards(48, 130, side);
            const near = walkedShares(cloth, from, size, view, light, 8000);
            const table = farShares(far, view, light);
            const where = `${inclination}° at ${azimuth}°, side ${side}`;
            const most = inclination > 60 ? SHARE_MOST_75 : SHARE_MOST;
            const warp = table.warp - near.warp;
            const weft = table.weft - near.weft;
            const warpLit = table.warpLit - near.warpLit;
            const weftLit = table.weftLit - near.weftLit;
            expect(Math.abs(warp), `warp, ${where}`).toBeLessThan(most);
            expect(Math.abs(weft), `weft, ${where}`).toBeLessThan(most);
            expect(Math.abs(warpLit), `lit warp, ${where}`).toBeLessThan(LIT_MOST);
            expect(Math.abs(weftLit), `lit weft, ${where}`).toBeLessThan(LIT_MOST);
            sums.lit += warpLit ** 2 + weftLit ** 2;
            sums.count += 2;
            if (inclination > 60) continue;
            sums.share += warp ** 2 + weft ** 2;
            sums.countTo60 += 2;
          }
        }
      }
      expect(Math.sqrt(sums.share / sums.countTo60), 'shares up to 60°, rms').toBeLessThan(SHARE_RMS);
      expect(Math.sqrt(sums.lit / sums.count), 'lit shares, rms').toBeLessThan(LIT_RMS);
    }, 120000);
  }
});

/** What of a band's area shows warp and weft by the far model, whose classes of this weft fill the band. */
function bandShares(far: FarCloth, weft: number, view: Direction): { warp: number; weft: number } {
  const out = { warp: 0, weft: 0 };
  const of = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  const factor = new Float64Array(2);
  let area = 0;
  for (let index = 0; index < far.classes; index++) {
    if (far.classTable[index * CLASS_TEXELS * 4 + 5] !== weft) continue;
    classShares(of, far, index, view, view);
    viewFactor(factor, far, view, groupOf(far, index));
    area += classArea(far, index);
    out.warp += classArea(far, index) * factor[0] * of.warp;
    out.weft += classArea(far, index) * factor[1] * of.weft;
  }
  return { warp: out.warp / area, weft: out.weft / area };
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
      // The material of a weft follows those of the warp.
      const table = bandShares(far, 1 + weft, view);
      const where = `weft ${weft}, ${inclination}° at ${azimuth}°`;
      expect(Math.abs(table.warp - near.warp), `warp, ${where}`).toBeLessThan(SHARE_MOST);
      expect(Math.abs(table.weft - near.weft), `weft, ${where}`).toBeLessThan(SHARE_MOST);
    }
  }
}, 120000);
