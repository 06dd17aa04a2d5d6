import { expect, test } from 'vitest';
import { SEGMENT_OVERLAP } from '#engine/packing/clothBufferLayout.ts';
import { intersectTube } from '#engine/packing/walk/intersectTube.ts';
import type { LocalRay } from '#engine/packing/walk/tubeLook.ts';
import {
  createSectionValue,
  createTubePoint,
  createTubeSegment,
  footPoint,
  sectionAt,
  settleBend,
  type TubeSegment,
} from '#engine/packing/walk/tubeSegment.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const LOOKS = 800;
const HALVINGS = 24;
const RAYS = 4000;
const NEVER = Number.POSITIVE_INFINITY;

/** Half a wave of a cord, from its lowest place to its highest, as thick as it bends tightly; o: sideways at its end, mm. */
function cord(o: number): TubeSegment {
  const height = 1;
  const s = Object.assign(createTubeSegment(), { pitch: 1.25, o2: 3 * o, o3: -2 * o, z0: -height / 2 });
  Object.assign(s, { z2: 3 * height, z3: -2 * height, a0: 0.45, b0: 0.4, bChange: 0.04 });
  settleBend(s);
  return s;
}

/** Looked through in many places, and halved: slow, and independent of how steps are chosen. */
function denseEntry(s: TubeSegment, ray: LocalRay, tMax: number): number {
  const point = createTubePoint();
  const value = createSectionValue();
  const fAt = (t: number) => {
    const u = (ray.alongO + t * ray.alongD - s.along) / s.pitch;
    if (u < -SEGMENT_OVERLAP || u > 1 + SEGMENT_OVERLAP) return 1;
    const [side, up] = [ray.sideO + t * ray.sideD, ray.upO + t * ray.upD];
    const ahead = footPoint(point, s, u, side, up);
    sectionAt(value, point, ahead, side, up, ray.alongD, ray.sideD, ray.upD);
    return value.f;
  };
  for (let k = 1; k <= LOOKS; k++) {
    let inside = (tMax * k) / LOOKS;
    if (fAt(inside) > 0) continue;
    let outside = (tMax * (k - 1)) / LOOKS;
    for (let h = 0; h < HALVINGS; h++) {
      const half = 0.5 * (outside + inside);
      if (fAt(half) <= 0) inside = half;
      else outside = half;
    }
    return inside;
  }
  return NEVER;
}

test.each([
  { name: 'in its plane', o: 0 },
  { name: 'aside too', o: 0.3 },
])(
  'a cord that bends more tightly than it is thick, $name, is entered where looking everywhere says, seed 11',
  ({ o }) => {
    const s = cord(o);
    expect(s.tight).toBe(true);
    const random = seededRandom(11);
    let met = 0;
    let missed = 0;
    let apart = 0;
    for (let k = 0; k < RAYS; k++) {
      // Through places about the cord, from directions up to 80 degrees off the normal.
      const [away, turn] = [1.4 * Math.sqrt(random()), 2 * Math.PI * random()];
      const d = [Math.sin(away) * Math.cos(turn), Math.sin(away) * Math.sin(turn), -Math.cos(away)];
      const at = [s.pitch * random(), o * random() + 1.4 * (random() - 0.5), 1.6 * (random() - 0.5)];
      const [alongO, sideO, upO] = at.map((x, axis) => x - 3 * d[axis]);
      const ray = { alongO, sideO, upO, alongD: d[0], sideD: d[1], upD: d[2] };
      const dense = denseEntry(s, ray, 6);
      const found = intersectTube(s, ray, 0, 6);
      if (dense < NEVER) met++;
      if (dense < NEVER !== found < NEVER) missed++;
      else if (dense < NEVER && Math.abs(dense - found) > 0.01) apart++;
    }
    expect(met).toBeGreaterThan(RAYS / 3);
    // Grazing rays alone, of which looking everywhere steps over some as well.
    expect({ missed: missed / met < 0.005, apart: apart / met < 0.005 }, `${missed} and ${apart} of ${met}`).toEqual({
      missed: true,
      apart: true,
    });
  },
);
