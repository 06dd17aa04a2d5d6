import { expect, test } from 'vitest';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { lookAtCloth, lookThroughClass, threadMet } from '#engine/packing/far/classRays.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { cutFixture } from '#tests/helpers/cutScenes.ts';

const RAYS = 6000;
/** 3 standard deviations of two counts of so many rays. */
const TOLERANCE = 3 * Math.sqrt(0.5 / RAYS);

test('kinds of crossings know clipped floats: shares of warp, weft and gaps, and of both kinds of place, as the cloth shows them', () => {
  const { problem, geometry, materials } = cutFixture(
    clothFixture({
      ends: 60,
      rows: 60,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: 0.8, heightMm: 0.6 }],
      warpUp: (row, end) => (end + 300 - 2 * row) % 5 === 0,
      periodRows: 5,
      periodEnds: 5,
    }),
    [{ kind: 'clip', side: 'face', threads: 'weft', atLeast: 4, leaveMm: 0.5, part: { toEnd: 30 } }],
  );
  const packed = packCloth(problem, geometry, materials);
  const far = buildFar(packed);
  const walker = new ClothWalker(packed);
  const seen = { warp: 0, weft: 0, open: 0 };
  const told = { warp: 0, weft: 0, open: 0 };
  const what = (met: boolean, hit: Parameters<typeof threadMet>[1]) =>
    met ? (threadMet(packed, hit).isWarp ? 'warp' : 'weft') : 'open';
  lookAtCloth(walker, far, RAYS, [0, 0, 1], (share, { met, hit }) => {
    told[what(met, hit)] += share;
  });
  const hit = createWalkHit();
  for (let k = 0; k < RAYS; k++) {
    const x = evenX(k) * 60 - 0.5;
    const y = evenY(k) * 60 - 0.5;
    seen[what(walker.walk(hit, x, y, 50, 0, 0, -1, 0, 1000), hit)] += 1 / RAYS;
  }
  for (const part of ['warp', 'weft', 'open'] as const) {
    expect(Math.abs(told[part] - seen[part]), `${part}: ${told[part]} for ${seen[part]}`).toBeLessThan(TOLERANCE);
  }
  // Left and right halves are other kinds.
  const line = 30 * far.ends;
  const kinds = (from: number, to: number) => new Set(far.classOf.subarray(line + from, line + to));
  for (const kind of kinds(5, 25)) expect(kinds(36, 55).has(kind)).toBe(false);
});

test('a fringe is told from the empty cloth beyond it', () => {
  const yarn = { widthMm: 0.5, heightMm: 0.5 };
  const { problem, geometry, materials } = cutFixture(
    clothFixture({ ends: 60, rows: 60, warp: [yarn], weft: [yarn] }),
    [
      {
        kind: 'cut',
        line: [
          { end: 30, pick: 1 },
          { end: 30, pick: 60 },
        ],
        what: 'through',
        keep: 'left',
        frayMm: 6.5,
      },
    ],
  );
  const packed = packCloth(problem, geometry, materials);
  const far = buildFar(packed);
  const kinds = (from: number, to: number) => new Set(far.classOf.subarray(30 * far.ends + from, 30 * far.ends + to));
  const [cloth, fringe, beyond] = [kinds(8, 18), kinds(24, 29), kinds(34, 50)];
  expect([...fringe].filter((kind) => cloth.has(kind) || beyond.has(kind))).toEqual([]);
  // What is seen there: half of it, wefts of 0.5 mm a millimetre apart, and nothing beyond.
  const walker = new ClothWalker(packed);
  const share = (kind: number) => {
    let met = 0;
    lookThroughClass(walker, far, kind, 400, 0, [0, 0, 1], (ray) => {
      met += ray.met ? 1 : 0;
    });
    return met / 400;
  };
  for (const kind of fringe) expect(share(kind)).toBeGreaterThan(0.3);
  for (const kind of beyond) expect(share(kind)).toBe(0);
});
