import { section } from './crossedSection.ts';
import { type EdgeMet, its, lookAt, outdoes, own, take } from './drawnPlace.ts';
import type { Span } from './span.ts';
import type { Stretch } from './tightBend.ts';

/** Steepness, climb and way aside together, from which the picture's surfaces are looked at; they count in full from twice that. */
export const STEEP = 0.15;
/** Steps towards the place where surfaces lie deepest in one another. */
const STEPS = 8;
/** What steps are expected to gain, where both surfaces curve away as their radii tell, times this is looked for. */
const MOST_GAIN = 2;
/** Least share of a normal that is square to the span. */
const MOST_ALONG = 0.2;

/**
 * The place where a span and the thread that it crosses lie deepest in one another as the picture draws them, sought from where they come
 * nearest; to `met` and `crossed`. Both surfaces are followed to where their normals oppose and both are as near.
 * @param nearest place of the span, 0..1, @param besideMm how far from its middle they come nearest there
 * @returns whether it is deeper than what `met` holds
 */
export function deepestAsDrawn(
  met: EdgeMet,
  span: Span,
  other: Stretch['of'],
  thread: number,
  lineMm: number,
  nearest: number,
  besideMm: number,
): boolean {
  const { pitchMm, parts } = span;
  const k = Math.round(nearest * parts);
  const reach = span.of.halfHeightMm[span.thread];
  const share = reach / (reach + section.tall);
  // Along the span, beside its line, and up.
  let s = nearest * pitchMm;
  s = Math.min(pitchMm, Math.max(0, s + share * (section.beyond - s)));
  let w = span.offsets[k] + besideMm;
  let z = span.heights[k] + share * (section.height - span.heights[k]);
  let found = false;
  for (let step = 0; step < STEPS; step++) {
    const v = lookAt(span, other, thread, lineMm, s, w, z, false, false);
    if (v < 0) break;
    const counts = Math.min(1, Math.max(0, Math.max(own.steepness, its.steepness) / STEEP - 1));
    if (outdoes(met, counts)) {
      found = true;
      take(met, span, counts, s, v);
    }
    const sum = own.alongN + its.acrossN;
    const along = (s === 0 && sum > 0) || (s === pitchMm && sum < 0) ? 0 : sum;
    const across = own.acrossN + its.alongN;
    const rise = own.upN + its.upN;
    const gain =
      its.radiusMm * along * along + own.radiusMm * across * across + 0.5 * (own.radiusMm + its.radiusMm) * rise * rise;
    if (counts * (own.depthMm + its.depthMm + MOST_GAIN * gain) <= met.missing) break;
    const even = (own.depthMm - its.depthMm) / 2;
    const before = s;
    s = Math.min(pitchMm, Math.max(0, s + even * own.alongN - its.radiusMm * along));
    // In the plane that is left: as near to both, and along the surface.
    const plane = Math.max(MOST_ALONG, own.acrossN * own.acrossN + own.upN * own.upN);
    const moveW = -own.radiusMm * across;
    const moveZ = -0.5 * (own.radiusMm + its.radiusMm) * rise;
    const out = (even - (s - before) * own.alongN - moveW * own.acrossN - moveZ * own.upN) / plane;
    w += moveW + out * own.acrossN;
    z += moveZ + out * own.upN;
  }
  return found;
}
