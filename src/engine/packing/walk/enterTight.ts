import { TIGHT_LEAST, TIGHT_LEAVING, TIGHT_NEAR, TIGHT_STEPS, TIGHT_WIDER } from '#engine/packing/clothBufferLayout.ts';
import { type LocalRay, lookAt, seen } from './tubeLook.ts';
import type { TubeSegment } from './tubeSegment.ts';

/**
 * As `enterBody`, where the thread bends tightly. No surface is nearer than the centre line is, less the section's greatest semi-axis
 * `mostMm`: so far a ray goes on at once (sphere tracing: J. C. Hart 1996, The Visual Computer 12), further where the section
 * linearised there is entered later or missed. The first entry is the one found, whichever way the thread bends.
 */
export function enterTight(
  segment: TubeSegment,
  ray: LocalRay,
  uO: number,
  uD: number,
  tMin: number,
  plane: number,
  lo: number,
  hi: number,
  mostMm: number,
): number {
  const begins = Math.max(tMin, plane);
  const perMm = 1 / Math.hypot(ray.alongD, ray.sideD, ray.upD);
  let t = lo;
  // Such a thread may stand out of its bound.
  let outside = begins;
  let lastT = 0;
  let lastF = 0;
  for (let k = 0; k < TIGHT_STEPS; k++) {
    lookAt(segment, ray, uO, uD, t);
    const { f, qa, qb } = seen.value;
    // Within it from the beginning: through the segment's end plane, or where the ray itself begins.
    if (k === 0 && f <= 0 && lo === begins) return lo > tMin ? lo : Number.POSITIVE_INFINITY;
    const inside = qb * qb - qa * f;
    const root = Math.sqrt(Math.max(inside, 0));
    const near = Math.abs(f) < TIGHT_NEAR && qb < 0 && inside >= 0;
    let step = f <= 0 || (qb < 0 && inside < 0) ? -qb / Math.max(qa, 1e-20) : 0;
    if (f <= 0) step -= root / Math.max(qa, 1e-20);
    else if (qb < 0 && inside >= 0) step = f / (root - qb);
    // As in any body: near by, the last two values know the slope better.
    const fall = (f - lastF) / (t - lastT);
    if (k > 0 && Math.max(Math.abs(f), Math.abs(lastF)) < 0.1 && qb < 0 && fall < qb) step = -f / fall;
    lastT = t;
    lastF = f;
    if (f > 0) {
      outside = t;
      const least = (qb < 0 ? TIGHT_LEAST : TIGHT_LEAVING) * mostMm;
      if (!near) step = Math.max(step, perMm * Math.max(least, seen.awayMm - TIGHT_WIDER * mostMm));
    }
    const back = f <= 0 && !near && !(t + step > outside && step < 0);
    t = back ? 0.5 * (outside + t) : t + step;
    if (t > hi) return Number.POSITIVE_INFINITY;
    if (near) return t;
  }
  return Number.POSITIVE_INFINITY;
}
