import { sectionStep } from '#engine/cloth/curve.ts';
import { deepestAllOver } from './allOverMeeting.ts';
import type { Contact } from './contact.ts';
import { crossed, lookUpCrossed, section } from './crossedSection.ts';
import { deepestAsDrawn, STEEP } from './drawnMeeting.ts';
import type { EdgeMet } from './drawnPlace.ts';
import { createNearest, nearestOnEllipse } from './nearestOnEllipse.ts';
import { addCurve, addHeight, addSection, addSections, type Span } from './span.ts';

/**
 * An ellipse ρ times as long as high that grows by a disc lies within one with both axes longer by the disc and the whole of it larger by
 * this times (ρ − 1)², or a tenth and a half at most, up to 10 : 1.
 */
const BULGE = 0.03;
const MOST_BULGE = 0.15;
/** What is further off than this share of both reaches is not near at all. */
const NEARBY = 1.3;
/** Within this share of the span's half height surfaces are near enough to be looked at more closely. */
const NEAR_SHARE = 0.08;

/** Surfaces as drawn are parted from so many times the overlap on that counts in the plane: below, they are not worth following. */
const DRAWN_LEAST = 1.5;

/** Steepness, climb and way aside of both together, from which they are looked at all over. */
const LEADS = 0.3;

const nearest = createNearest();
/** The most that the places looked at closely lie in the section; below 0 where they keep clear of it. */
let nearestMm = 0;
/** Where along the span that is, 0..1; −1 where nothing is near. */
let nearestPlace = -1;
/** How far along the crossed thread that is, from the span's middle. */
let nearestAt = 0;
const met: EdgeMet = { u: 0, missing: 0, normalY: 0, edgeWide: 0, edgeTall: 0, tall: 1, wide: 0 };

/**
 * A thread's span against a thread that it crosses. Seen along the crossed thread that one is an ellipse, from which the span's centre
 * line must keep by its own section's reach. Where the span is steep that is looked at on the surfaces that the picture draws.
 * @param crossedThread the one crossed, @param lineMm how far its line lies beyond the span's start
 * @param at node of the crossing, @param side 1 where the span lies over it there, −1 under
 * @param soft whether only what has swelled beyond the contact sections gives
 * @param thorough whether it is looked at all over where they may meet
 * @returns whether they lie in one another by more than `leastMm`; `contact` then tells what parts them
 */
export function meetUnlike(
  contact: Contact,
  span: Span,
  other: Span['of'],
  crossedThread: number,
  lineMm: number,
  side: number,
  leastMm: number,
  soft: boolean,
  thorough: boolean,
): boolean {
  met.missing = leastMm;
  lookUpCrossed(span, other, crossedThread, lineMm, side);
  const { upright } = section;
  nearestMm = -Infinity;
  nearestPlace = -1;
  nearestAt = 0;
  let found = deepestInPlane(span);
  if (!found) met.missing = DRAWN_LEAST * leastMm;
  if (
    nearestPlace >= 0 &&
    isSteep(span) &&
    deepestAsDrawn(met, span, other, crossedThread, lineMm, nearestPlace, nearestAt)
  )
    found = true;
  if (thorough && leads(span) && deepestAllOver(met, span, other, crossedThread, lineMm)) found = true;
  if (!found) return false;
  contact.begin(met.missing);
  addSections(contact, span, met.u, met.tall, met.wide, soft);
  const { from, to, share } = crossed;
  if (share < 1)
    addSection(
      contact,
      other,
      crossedThread,
      from,
      (1 - share) * met.edgeTall * upright,
      (1 - share) * met.edgeWide,
      soft,
    );
  if (share > 0)
    addSection(contact, other, crossedThread, to, share * met.edgeTall * upright, share * met.edgeWide, soft);
  if (soft) return true;
  const rise = side * met.normalY;
  addCurve(contact, span, met.u, rise);
  if (share < 1) addHeight(contact, other, crossedThread, from, -rise * (1 - share));
  if (share > 0) addHeight(contact, other, crossedThread, to, -rise * share);
  return true;
}

/** Whether the span or the thread that it crosses leads up or aside enough for the picture's surfaces to be asked. */
function isSteep({ of, from, to }: Span): boolean {
  const { slope, offsetSlope } = of.field;
  return (
    Math.abs(slope[from]) + Math.abs(offsetSlope[from]) > STEEP ||
    Math.abs(slope[to]) + Math.abs(offsetSlope[to]) > STEEP ||
    Math.abs(section.slope) + Math.abs(section.asideSlope) > STEEP
  );
}

/** Whether the span or the thread that it crosses leads up or aside so much that the plane may not tell how deep they lie. */
function leads({ of, from, to, pitchMm }: Span): boolean {
  const { heightMm, slope, offsetSlope } = of.field;
  const steepest = Math.max(
    Math.abs(slope[from]),
    Math.abs(slope[to]),
    Math.abs(heightMm[to] - heightMm[from]) / pitchMm,
  );
  const aside = Math.max(Math.abs(offsetSlope[from]), Math.abs(offsetSlope[to]));
  return steepest + aside + Math.abs(section.slope) + Math.abs(section.asideSlope) > LEADS;
}

/**
 * The deepest of the span's places, to `met`; false where none is deeper than what it holds. The place that lies deepest in the
 * ellipse with both axes longer by the span's own reach is looked at closely, and those beside it where they may be in question.
 */
function deepestInPlane(span: Span): boolean {
  const { of, thread, from, to, pitchMm, parts, heights, offsets, straight, wander } = span;
  const { beyond, height, slope, bend, asideSlope, across, stretch, wide, tall, leanX, leanY } = section;
  const f = of.field;
  const high = of.halfHeightMm[thread] * Math.max(f.heightFactor[from], f.heightFactor[to]);
  const broad = of.halfWidthMm[thread] * Math.max(f.widthFactor[from], f.widthFactor[to]);
  const most = Math.sqrt(high * high + broad * broad * (leanX * leanX + leanY * leanY));
  const clearX = stretch / (wide + most);
  const clearY = 1 / (tall + most);
  const step = pitchMm / parts;
  const long = (wide > tall ? wide / tall : tall / wide) - 1;
  const clear = 1 + Math.min(MOST_BULGE, BULGE * long * long) - met.missing * Math.min(clearX, clearY);
  let least = NEARBY * NEARBY;
  let place = -1;
  // Further along than both reach nothing is near.
  const reach = NEARBY / clearX + Math.abs(asideSlope) * (Math.abs(offsets[0] - across) + wander);
  const last = Math.min(parts, Math.floor((beyond + reach) / step));
  for (let k = Math.max(0, Math.ceil((beyond - reach) / step)); k <= last; k++) {
    let x = k * step - beyond;
    let y = heights[k] - height;
    if (!straight) {
      const moved = offsets[k] - across;
      x -= asideSlope * moved;
      y -= moved * (slope + 0.5 * moved * bend);
    }
    const sx = x * clearX;
    const sy = y * clearY;
    const within = sx * sx + sy * sy;
    if (within >= least) continue;
    least = within;
    place = k;
  }
  if (place < 0) return false;
  if (least >= clear * clear) {
    // Where the span is nearest, about: its surface may be looked at there.
    const moved = offsets[place] - across;
    const x = (place * step - beyond - asideSlope * moved) * clearX * clearX;
    const y = (heights[place] - height) * clearY * clearY;
    const lean = (broad * (leanY * y + leanX * x)) / Math.sqrt(x * x + y * y);
    nearestAt = (broad * lean) / most;
    nearestPlace = place / parts;
    return false;
  }
  const before = met.missing;
  const missing = lookClosely(span, place, high);
  if (missing < before - NEAR_SHARE * most) return false;
  if (place > 0) lookClosely(span, place - 1, high);
  if (place < parts) lookClosely(span, place + 1, high);
  return met.missing > before;
}

/** How deep the span lies in the section at one of its places; to `met` where that is deeper than what it holds. */
function lookClosely(
  { of, thread, from, to, pitchMm, parts, heights, offsets }: Span,
  k: number,
  reach: number,
): number {
  const { beyond, height, slope, bend, asideSlope, across, stretch, wide, tall, side, leanX, leanY } = section;
  const { widthFactor, heightFactor } = of.field;
  const moved = offsets[k] - across;
  const x = ((k * pitchMm) / parts - beyond - asideSlope * moved) * stretch;
  const y = side * (heights[k] - height - moved * (slope + 0.5 * moved * bend));
  const share = sectionStep(k / parts);
  const b = of.halfHeightMm[thread] * (heightFactor[from] + share * (heightFactor[to] - heightFactor[from]));
  nearestOnEllipse(nearest, x, y, wide, tall, reach);
  const normalX = x < 0 ? -nearest.normalX : nearest.normalX;
  const normalY = y < 0 ? -nearest.normalY : nearest.normalY;
  let needed = b;
  let along = 0;
  if (leanX !== 0 || leanY !== 0) {
    const a = of.halfWidthMm[thread] * (widthFactor[from] + share * (widthFactor[to] - widthFactor[from]));
    const lean = a * (side * leanY * normalY + leanX * normalX);
    needed = Math.sqrt(b * b + lean * lean);
    along = (a * lean) / needed;
  }
  const missing = needed - nearest.distance;
  if (missing > nearestMm) {
    nearestMm = missing;
    nearestAt = along;
    nearestPlace = k / parts;
  }
  if (missing <= met.missing) return missing;
  met.missing = missing;
  met.u = k / parts;
  met.normalY = normalY;
  met.edgeWide = nearest.wide * nearest.normalX;
  met.edgeTall = nearest.tall * nearest.normalY;
  met.tall = b / needed;
  met.wide = 0;
  return missing;
}
