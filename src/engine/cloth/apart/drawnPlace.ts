import { sectionStep } from '#engine/cloth/curve.ts';
import { crossed, section } from './crossedSection.ts';
import { createInSurface, lieIn } from './drawnSurface.ts';
import type { Span } from './span.ts';
import { isTight, type Stretch } from './tightBend.ts';

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

/** What lies further from either surface than this share of its half thickness is no meeting. */
const FAR = 0.6;
/** Least share of upwards in the way on which what meets beside a thread parts from it: further up it is rounded. */
const LEAST_UP = 0.7;

/** Steps towards where a place lies as deep in both threads, and the least by which its depths must change for a mm. */
export const EVENED = 3;
export const LEAST_CHANGE = 0.3;

/** How the place looked at lies in the span, and in the thread that it crosses. */
export const own = createInSurface();
export const its = createInSurface();

const itsStretch: { -readonly [K in keyof Stretch]: Stretch[K] } = {
  of: undefined as unknown as Stretch['of'],
  thread: 0,
  from: 0,
  to: 0,
  pitchMm: 0,
};

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
 * How a place lies in the span and in the thread that it crosses, to `own` and `its`.
 * @param followed whether tight bends are followed to their true foot, @param ownTight whether the span is one
 * @returns how far along the crossed stretch it lies, −1 where that is not
 */
export function lookAt(
  span: Span,
  other: Stretch['of'],
  thread: number,
  lineMm: number,
  s: number,
  w: number,
  z: number,
  followed: boolean,
  ownTight: boolean,
): number {
  const v = onCrossed(span, other, thread, w);
  if (v < 0) return v;
  lieIn(own, span, s / span.pitchMm, w, z, ownTight);
  lieIn(its, itsStretch, v, s - lineMm, z, followed && isTight(itsStretch));
  return v;
}

/** As much as both: what lies deep in the one and outside the other is no meeting. */
export const overlapMm = () => 2 * Math.min(own.depthMm, its.depthMm);

/** Whether the place looked at lies deeper, where it counts so much, than what is met already. */
export function outdoes(met: EdgeMet, counts: number): boolean {
  const near = Math.min(own.depthMm / own.radiusMm, its.depthMm / its.radiusMm) > -FAR;
  // Only what parts when the span moves to its own side.
  return near && -section.side * own.upN > 0 && counts * overlapMm() > met.missing;
}

/** Takes it as what is met. */
export function take(met: EdgeMet, span: Span, counts: number, s: number, v: number): void {
  met.missing = counts * overlapMm();
  met.u = Math.min(1, Math.max(0, (s + own.footMm) / span.pitchMm));
  met.normalY = Math.max(LEAST_UP, -section.side * own.upN);
  met.edgeWide = its.wide;
  met.edgeTall = its.tall / section.upright;
  met.tall = own.tall;
  met.wide = own.wide;
  crossed.from = itsStretch.from;
  crossed.to = itsStretch.to;
  crossed.share = sectionStep(v);
}
