import { section } from './crossedSection.ts';
import { type EdgeMet, EVENED, its, LEAST_CHANGE, lookAt, outdoes, overlapMm, own, take } from './drawnPlace.ts';
import type { Span } from './span.ts';
import { isTight, type Stretch } from './tightBend.ts';

/** Places that are tried along the span, beside its line and over it, over the half widths of the crossed one and its own, and its half height. */
const ALONG = [-1, -0.5, 0, 0.5, 1];
const BESIDE = [-0.9, -0.45, 0, 0.45, 0.9];
const OVER = 0.7;
/** From this climb on places over and under are tried too. */
const STEEP = 0.3;
/** What no place comes nearer to than this share of both half heights is not met. */
const FAR = 0.3;
/** How often the steps about the best are halved. */
const CLOSER = 7;
/** As deep in both, over the span's half height. */
const EVEN_SHARE = 2e-3;

/**
 * The place where a span and the thread that it crosses lie deepest in one another as the picture draws them, sought all over where they
 * may meet, however gently they lead: places are tried along the span and beside its line, each where it lies as deep in both, and
 * closer about the best. Some hundred times as dear as `deepestAsDrawn`, which follows one place and may be led astray.
 * @returns whether it is deeper than what `met` holds
 */
export function deepestAllOver(
  met: EdgeMet,
  span: Span,
  other: Stretch['of'],
  thread: number,
  lineMm: number,
): boolean {
  const { pitchMm, parts, of } = span;
  const half = of.halfWidthMm[span.thread];
  const reach = of.halfHeightMm[span.thread];
  const middle = Math.min(pitchMm, Math.max(0, section.beyond));
  const ownTight = isTight(span);
  let found = false;
  let best = -Infinity;
  let [bestS, bestW] = [0, 0];
  const tryAt = (s: number, beside: number, over = 0) => {
    const k = Math.round((s / pitchMm) * parts);
    const w = span.offsets[k] + beside;
    let z = span.heights[k] + (reach / (reach + section.tall)) * (section.height - span.heights[k]) + over;
    for (let step = 0; step <= EVENED; step++) {
      const v = lookAt(span, other, thread, lineMm, s, w, z, true, ownTight);
      if (v < 0) return;
      if (outdoes(met, 1)) {
        found = true;
        take(met, span, 1, s, v);
      }
      if (overlapMm() > best) {
        best = overlapMm();
        [bestS, bestW] = [s, beside];
      }
      const uneven = own.depthMm - its.depthMm;
      if (Math.abs(uneven) < EVEN_SHARE * reach) return;
      const change = section.side * Math.max(LEAST_CHANGE, section.side * (its.upN - own.upN));
      z -= uneven / change;
    }
  };
  const steep = Math.abs(span.heights[parts] - span.heights[0]) > STEEP * pitchMm || Math.abs(section.slope) > STEEP;
  for (const along of ALONG) {
    const s = Math.min(pitchMm, Math.max(0, middle + along * section.wide));
    for (const beside of BESIDE) {
      tryAt(s, beside * half);
      if (!steep) continue;
      tryAt(s, beside * half, -OVER * reach);
      tryAt(s, beside * half, OVER * reach);
    }
  }
  if (best < -FAR * (reach + section.tall)) return found;
  let stepS = 0.5 * section.wide;
  let stepW = 0.45 * half;
  // Nothing grows deeper faster than one moves.
  for (let closer = 0; closer < CLOSER && best + 2 * (stepS + stepW) > met.missing; closer++) {
    stepS /= 2;
    stepW /= 2;
    const [s, beside] = [bestS, bestW];
    tryAt(Math.max(0, s - stepS), beside);
    tryAt(Math.min(pitchMm, s + stepS), beside);
    tryAt(s, beside - stepW);
    tryAt(s, beside + stepW);
  }
  return found;
}
