import {
  FAR_OFF,
  NEAR_ENOUGH,
  NEWTON_STEPS,
  RUNS_ALONG,
  SCAN_STEPS,
  STEEP_THREAD,
  SURFACE_TOLERANCE,
  TUBE_PIECES,
} from '#engine/packing/clothBufferLayout.ts';
import { type LocalRay, lookAt, seen } from './tubeLook.ts';
import { createPieceEnd, pieceEnd, pieceSpan } from './tubePiece.ts';
import type { TubeSegment } from './tubeSegment.ts';

const { value } = seen;
let begin = createPieceEnd();
let end = createPieceEnd();
const span = { from: 0, to: 1, guess: 0.5 };

/** First t in (lo, hi), where the ray is within the tube's bound, at which it enters the tube. */
export function enterBody(
  segment: TubeSegment,
  ray: LocalRay,
  uO: number,
  uD: number,
  lo: number,
  hi: number,
  plane: number,
  aMost: number,
  bMost: number,
  steep: number,
): number {
  const pieces = Math.min(TUBE_PIECES, Math.max(1, Math.ceil(Math.abs(uD) * (hi - lo) * TUBE_PIECES)));
  const step = (hi - lo) / pieces;
  const gentle = steep <= STEEP_THREAD;
  let entered = Number.POSITIVE_INFINITY;
  pieceEnd(end, segment, ray, uO + lo * uD, lo);
  for (let piece = 0; piece < pieces; piece++) {
    const ta = lo + piece * step;
    const tb = ta + step;
    const swap = begin;
    begin = end;
    end = swap;
    pieceEnd(end, segment, ray, uO + tb * uD, tb);
    if (!pieceSpan(span, begin, end, aMost, bMost, ray, step)) continue;
    const from = ta + span.from * step;
    const reach = (span.to - span.from) * step;
    let t = ta + span.guess * step;
    let missed = 0;
    let met = false;
    let lastT = 0;
    let lastF = 0;
    let leastQa = Number.POSITIVE_INFINITY;
    let leaves = false;
    for (let k = 0; k < NEWTON_STEPS; k++) {
      lookAt(segment, ray, uO, uD, t);
      leastQa = Math.min(leastQa, value.qa);
      met = Math.abs(value.f) < SURFACE_TOLERANCE && value.qb < 0;
      if (met) break;
      const inside = value.qb * value.qb - value.qa * value.f;
      const root = Math.sqrt(Math.max(inside, 0));
      // Where the linearised section is missed, its nearest approach is looked at instead, three times at most, and once
      // where that is far off.
      if (inside < 0 && ++missed > (value.f > FAR_OFF ? 1 : 3)) {
        leaves = false;
        break;
      }
      // Of the two ways to write the entry, the one that does not cancel.
      let entry =
        value.qb < 0 && inside >= 0 ? value.f / (root - value.qb) : (-value.qb - root) / Math.max(value.qa, 1e-20);
      // Near the surface the last two values know the slope better: the linearised section leaves out how it turns.
      const fall = (value.f - lastF) / (t - lastT);
      if (k > 0 && Math.abs(value.f) < 0.1 && value.qb < 0 && fall < value.qb) entry = -value.f / fall;
      lastT = t;
      lastF = value.f;
      t = Math.min(from + 2 * reach, Math.max(from - reach, t + entry));
      // So near, the step just taken is exact enough not to be looked at again.
      met = inside >= 0 && value.qb < 0 && Math.abs(value.f) < NEAR_ENOUGH;
      if (met) break;
      // Held at the bounds of where it may look, or moving away at the last look: in a thread that is not steep, a miss.
      leaves = gentle && (t === lastT ? value.f > 0 : value.f > FAR_OFF && value.qb > 0);
      if (t === lastT) break;
    }
    if (!met && !leaves && (!gentle || leastQa * segment.a0 * segment.b0 < RUNS_ALONG)) {
      let outside = from;
      let inside = Number.POSITIVE_INFINITY;
      for (let k = 0; k < SCAN_STEPS; k++) {
        const scans = inside === Number.POSITIVE_INFINITY;
        if (scans && k >= SCAN_STEPS / 2) break;
        const at = scans ? from + ((k + 0.5) * reach) / (SCAN_STEPS / 2) : 0.5 * (outside + inside);
        lookAt(segment, ray, uO, uD, at);
        if (value.f <= 0) inside = at;
        else outside = at;
      }
      met = inside < Number.POSITIVE_INFINITY;
      t = inside;
    }
    if (!met) continue;
    if (piece === 0 && t < lo && lo === plane) {
      // Entered before the segment begins: the segment before ends a hair lower, its bend being another's.
      lookAt(segment, ray, uO, uD, lo);
      if (value.f <= 0) return lo;
    }
    // An entry in a later piece waits for that piece, which may hold an earlier one.
    if (t >= lo && t <= hi) entered = Math.min(entered, t);
    if (entered <= tb) break;
  }
  return entered;
}
