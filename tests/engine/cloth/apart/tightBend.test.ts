import { describe, expect, it } from 'vitest';
import type { ApartFamily } from '#engine/cloth/apart/apartFamily.ts';
import { createInSurface, lieIn } from '#engine/cloth/apart/drawnSurface.ts';
import { keepApart } from '#engine/cloth/apart/keepApart.ts';
import { footOn, isTight, limitWraps, type Stretch } from '#engine/cloth/apart/tightBend.ts';
import { createCurvePoint } from '#engine/cloth/curve.ts';
import {
  createSectionValue,
  createTubePoint,
  createTubeSegment,
  footPoint,
  sectionAt,
  settleBend,
  type TubeSegment,
} from '#engine/packing/walk/tubeSegment.ts';
import { xorshift } from '#tests/engine/cloth/heights/problems.ts';
import { drawnOnLoom, randomCloth } from '#tests/helpers/randomCloth.ts';

const random = xorshift(31);
const about = (most: number) => most * (2 * random() - 1);

/** A stretch from node to node that climbs, leads aside and is wrapped at random, and the same as the picture's walk has it. */
function randomStretch(): { stretch: Stretch; segment: TubeSegment } {
  const pitchMm = 0.5 + random();
  const pair = (a: number, b: number) => Float32Array.of(a, b);
  const field = {
    heightMm: pair(about(0.4), about(0.4)),
    slope: pair(about(1), about(1)),
    offsetMm: pair(about(0.1), about(0.1)),
    offsetSlope: pair(about(0.3), about(0.3)),
    wrapStartMm: pair(about(6), 0),
    wrapEndMm: pair(about(6), 0),
    widthFactor: pair(1, 1),
    heightFactor: pair(1, 1),
  };
  const half = 0.1 + 0.2 * random();
  const of = { field, halfWidthMm: Float64Array.of(half), halfHeightMm: Float64Array.of(half) };
  const stretch = { of: of as unknown as ApartFamily, thread: 0, from: 0, to: 1, pitchMm };
  const cubic = (value: Float32Array, slope: Float32Array) => {
    const [first, last] = [slope[0] * pitchMm, slope[1] * pitchMm];
    const rise = value[1] - value[0];
    return [value[0], first, 3 * rise - 2 * first - last, first + last - 2 * rise];
  };
  const [z0, z1, z2, z3] = cubic(field.heightMm, field.slope);
  const [o0, o1, o2, o3] = cubic(field.offsetMm, field.offsetSlope);
  const wrapStart = field.wrapStartMm[0];
  const sections = { a0: half, b0: half, wrapStart, wrapChange: field.wrapEndMm[0] - wrapStart };
  const segment = { ...createTubeSegment(), pitch: pitchMm, z0, z1, z2, z3, o0, o1, o2, o3, ...sections };
  return { stretch, segment };
}

describe('a stretch of a thread that bends tightly, beside the walk of the picture', () => {
  it('is told as one, its wraps are cut alike, and its foot and surface lie where the walk has them, 400 at random', () => {
    const [at, point, value, lies] = [createCurvePoint(), createTubePoint(), createSectionValue(), createInSurface()];
    let tight = 0;
    for (let k = 0; k < 400; k++) {
      const { stretch, segment } = randomStretch();
      const { field } = stretch.of;
      settleBend(segment);
      limitWraps(stretch);
      const cut = Math.abs(field.wrapStartMm[0] - segment.wrapStart) < 1e-5;
      // Cut a little sooner than there.
      if (!cut) expect(segment.tight).toBe(false);
      if (!cut) continue;
      expect(isTight(stretch)).toBe(segment.tight);
      if (segment.tight) tight++;
      for (let n = 0; n < 5; n++) {
        const u = random();
        const [across, up] = [about(0.3), about(0.6)];
        const ahead = footPoint(point, segment, u, across, up);
        if (segment.tight) expect(footOn(at, stretch, u, across, up)).toBeCloseTo(u - ahead / stretch.pitchMm, 4);
        sectionAt(value, point, ahead, across, up, 0, 0, 0);
        lieIn(lies, stretch, u, across, up, segment.tight);
        if (Math.abs(value.f) > 1e-3) expect(lies.depthMm > 0).toBe(value.f < 0);
      }
    }
    expect(tight).toBeGreaterThan(100);
  });
});

it('threads of a small repeat are parted with a pause a row at least, all over as well', () => {
  const problem = randomCloth(xorshift(7));
  const geometry = drawnOnLoom(problem);
  let pauses = 0;
  for (const _ of keepApart(problem, geometry, 'anyhow')) pauses++;
  expect(pauses).toBeGreaterThanOrEqual(geometry.periodRows);
});
