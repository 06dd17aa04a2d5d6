import { expect, test } from 'vitest';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { createTubePoint, createTubeSegment, tubePointAt } from '#engine/packing/walk/tubeSegment.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

/** Of a solved 2/2 twill in cotton 16/2 at 18 ends a centimetre, firmly beaten: nodes of a pick that bends 62 degrees. */
const PITCH = 0.5556;
const SLOPE = 0.776;
const WRAP = 3.173;

test('a thread that bends more tightly than it is thick has no slits where its segments meet', () => {
  const up = (row: number, end: number) => (((end + 40 - row) >> 1) & 1) === 0;
  const yarn = { widthMm: 0.44, heightMm: 0.31 };
  const { problem, geometry, materials } = clothFixture({
    ends: 24,
    rows: 24,
    warp: [{ widthMm: 0.3, heightMm: 0.28 }],
    weft: [yarn],
    warpUp: up,
    warpShare: 0,
    endX: (k) => k * PITCH,
    // A weft that passes from below to above one end, or back, leans there; it wraps round both.
    slopes: (family, row, end) => {
      if (family === 'warp') return 0;
      const before = up(row, end - 1);
      const after = up(row, end + 1);
      return before === after ? 0 : (before ? 1 : -1) * SLOPE;
    },
    wraps: (family, row, end) => {
      if (family === 'warp' || up(row, end) === up(row, end + 1)) return [0, 0];
      return up(row, end) ? [-WRAP, WRAP] : [WRAP, -WRAP];
    },
  });
  const walker = new ClothWalker(packCloth(problem, geometry, materials));
  const hit = createWalkHit();
  let floats = 0;
  for (let end = 8; end < 16; end++) {
    const row = 12;
    if (up(row, end)) continue;
    floats++;
    for (let step = -200; step <= 200; step++) {
      // Along the float's crown, from an eye above.
      const x = end * PITCH + step * 2e-4;
      expect(walker.walk(hit, x, row, 5, 0, 0, -1, 0, 1e3), `end ${end}, ${step}`).toBe(true);
      expect([hit.kind, hit.index], `end ${end}, ${step}`).toEqual([ThreadKind.weft, row]);
    }
  }
  expect(floats).toBe(4);
});

test('a ray that passes through the middle of a steep lofty thread meets it, however it runs', () => {
  // Of a solved plain weave in a woollen of 1 mm, 8 ends a centimetre: it climbs 0.8 mm in 1.25, wrapped tightly.
  const pitch = 1.25;
  const up = (row: number, end: number) => ((row + end) & 1) === 0;
  const { problem, geometry, materials } = clothFixture({
    ends: 12,
    rows: 3,
    warp: [{ widthMm: 0.5, heightMm: 0.05 }],
    weft: [{ widthMm: 1.02, heightMm: 0.76 }],
    warpUp: up,
    warpShare: 0,
    endX: (k) => k * pitch,
    rowY: (k) => 6 * k,
    wraps: (family, row, end) => {
      if (family === 'warp') return [0, 0];
      return up(row, end) ? [-8.4, 8.4] : [8.4, -8.4];
    },
  });
  const walker = new ClothWalker(packCloth(problem, geometry, materials));
  const { reader } = walker;
  const hit = createWalkHit();
  const segment = createTubeSegment();
  const point = createTubePoint();
  let rays = 0;
  for (let k = 0; k < 60; k++) {
    // Through places on the centre line of one segment, from directions spread over the half sphere.
    expect(reader.loadWeft(segment, 1, 5, reader.endX(5), reader.endX(6))).toBe(true);
    const u = 0.2 + 0.6 * ((k * 0.618) % 1);
    tubePointAt(point, segment, u);
    const away = 1.3 * Math.sqrt((k + 0.5) / 60);
    const turn = k * 2.4;
    const d = [Math.sin(away) * Math.cos(turn), Math.sin(away) * Math.sin(turn), -Math.cos(away)];
    const o = [segment.along + u * pitch - 5 * d[0], 6 - 5 * d[1], point.z - 5 * d[2]];
    rays++;
    expect(walker.walk(hit, o[0], o[1], o[2], d[0], d[1], d[2], 0, 5), `ray ${k}`).toBe(true);
  }
  expect(rays).toBe(60);
});
