import { sectionStep } from '#engine/cloth/curve.ts';
import { crossed, section } from './crossedSection.ts';
import { createInSurface, lieIn, type Stretch } from './drawnSurface.ts';
import type { Span } from './span.ts';

/** Where span and section lie deepest in one another; what it holds in `missing` is outdone. */
export interface EdgeMet {
  u: number;
  missing: number;
  /** From the section to the span, on the span's own side. */
  normalY: number;
  /** By how much less width and height of the crossed section part them, mm for a mm. */
  edgeWide: number;
  edgeTall: number;
  /** The same of the span's own height and width. */
  tall: number;
  wide: number;
}

/** Steepness, climb and way aside together, from which the picture's surfaces are looked at; they count in full from twice that. */
export const STEEP = 0.15;
/** Steps towards the place where surfaces lie deepest in one another. */
const STEPS = 8;
/** What steps are expected to gain, where both surfaces curve away as their radii tell, times this is looked for. */
const MOST_GAIN = 2;
/** Least share of a normal that is square to the span. */
const MOST_ALONG = 0.2;
/** What lies further from either surface than this share of its half thickness is no meeting. */
const FAR = 0.6;
/** Least share of upwards in the way on which what meets beside a thread parts from it: further up it is rounded. */
const LEAST_UP = 0.7;

const own = createInSurface();
const its = createInSurface();
const itsStretch: Stretch = { of: undefined as unknown as Stretch['of'], thread: 0, from: 0, to: 0, pitchMm: 0 };

/** Stretch of the crossed thread about a place beside the span's line, to `itsStretch`; how far along it the place lies, −1 where none is. */
function onCrossed(span: Span, other: Stretch['of'], thread: number, besideMm: number): number {
  const line = span.thread;
  const before = line > 0 ? line - 1 : other.lines - 1;
  const ahead = other.pitchMm[line] > 0 && (besideMm >= 0 || !(other.pitchMm[before] > 0));
  const start = ahead ? line : before;
  const pitchMm = other.pitchMm[start];
  if (!(pitchMm > 0)) return -1;
  const end = start + 1 < other.lines ? start + 1 : 0;
  itsStretch.of = other;
  itsStretch.thread = thread;
  itsStretch.from = thread * other.threadStep + start * other.lineStep;
  itsStretch.to = thread * other.threadStep + end * other.lineStep;
  itsStretch.pitchMm = pitchMm;
  return Math.min(1, Math.max(0, besideMm / pitchMm + (ahead ? 0 : 1)));
}

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
    const v = onCrossed(span, other, thread, w);
    if (v < 0) break;
    lieIn(own, span, s / pitchMm, w, z);
    lieIn(its, itsStretch, v, s - lineMm, z);
    // As much as both: what lies deep in the one and outside the other is no meeting.
    const missing = 2 * Math.min(own.depthMm, its.depthMm);
    const counts = Math.min(1, Math.max(0, Math.max(own.steepness, its.steepness) / STEEP - 1));
    const near = Math.min(own.depthMm / own.radiusMm, its.depthMm / its.radiusMm) > -FAR;
    // Only what parts when the span moves to its own side.
    const up = -section.side * own.upN;
    if (near && up > 0 && counts * missing > met.missing) {
      found = true;
      met.missing = counts * missing;
      met.u = Math.min(1, Math.max(0, (s + own.footMm) / pitchMm));
      met.normalY = Math.max(LEAST_UP, up);
      met.edgeWide = its.wide;
      met.edgeTall = its.tall / section.upright;
      met.tall = own.tall;
      met.wide = own.wide;
      crossed.from = itsStretch.from;
      crossed.to = itsStretch.to;
      crossed.share = sectionStep(v);
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
