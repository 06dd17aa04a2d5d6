import { sectionStep } from '#engine/cloth/curve.ts';
import type { ApartFamily } from './apartFamily.ts';
import type { Contact } from './contact.ts';
import { createNearest, nearestOnEllipse } from './nearestOnEllipse.ts';
import { addCurve, addHeight, addSection, addSections, type Span } from './span.ts';
import { deepestEdge, type EdgeMet, type Section } from './steepEdge.ts';

/** An ellipse grown by a disc lies within one with both axes longer by this times the disc, up to 10 : 1. */
const CLEAR_SHARE = 1.3;
/** Within this share of the span's half height surfaces are near enough to be looked at more closely. */
const NEAR_SHARE = 0.08;
/** And within this in slices, or at the picture's own surface. */
const SLICED_SHARE = 0.6;
/** Slopes from which the picture's surface is looked at besides. */
const STEEP = 0.3;

/** Where the crossed thread leans by more than this it is looked at in slices beside the middle too: it may bend towards the span. */
const BENT = 0.1;
/** The middle, and slices beside it, over the span's half width. */
const SLICES = [0, -0.5, 0.5];

const nearest = createNearest();
/** The most that the places looked at closely lie in the section; below 0 where they keep clear of it. */
let nearestMm = 0;
/** The crossed thread where the own one's line passes it. */
const crossed = { height: 0, slope: 0, aside: 0 };
const section: Section = { own: 1, beyond: 0, height: 0, slope: 0, skew: 0, wide: 0, tall: 0, side: 1 };
const met: EdgeMet = { u: 0, missing: 0, normalX: 0, normalY: 0, edgeWide: 0, edgeTall: 0, reach: 1 };

/** Where thread `t` of a family passes a place beside its line `line`, to `crossed`. */
function lookUp(of: ApartFamily, t: number, line: number, besideMm: number): void {
  const { field, threadStep, lineStep, lines, pitchMm } = of;
  const node = t * threadStep + line * lineStep;
  const start = besideMm >= 0 ? line : line > 0 ? line - 1 : lines - 1;
  const pitch = pitchMm[start];
  if (besideMm === 0 || !(pitch > 0)) {
    crossed.height = field.heightMm[node] + besideMm * field.slope[node];
    crossed.slope = field.slope[node];
    crossed.aside = field.offsetMm[node];
    return;
  }
  const end = start + 1 < lines ? start + 1 : 0;
  const a = t * threadStep + start * lineStep;
  const b = t * threadStep + end * lineStep;
  const u = Math.min(1, Math.max(0, besideMm > 0 ? besideMm / pitch : 1 + besideMm / pitch));
  const { heightMm, slope, offsetMm, offsetSlope } = field;
  const z1 = slope[a] * pitch;
  const rise = heightMm[b] - heightMm[a];
  const z2 = 3 * rise - 2 * z1 - slope[b] * pitch;
  const z3 = z1 + slope[b] * pitch - 2 * rise;
  const wrap = field.wrapStartMm[a];
  const change = field.wrapEndMm[a] - wrap;
  const q = u * (1 - u);
  const wrapped = wrap + u * change;
  crossed.height = heightMm[a] + u * (z1 + u * (z2 + u * z3)) + q * q * wrapped;
  crossed.slope = (z1 + u * (2 * z2 + 3 * u * z3) + 2 * q * (1 - 2 * u) * wrapped + q * q * change) / pitch;
  const o1 = offsetSlope[a] * pitch;
  const across = offsetMm[b] - offsetMm[a];
  const o2 = 3 * across - 2 * o1 - offsetSlope[b] * pitch;
  crossed.aside = offsetMm[a] + u * (o1 + u * (o2 + u * (o1 + offsetSlope[b] * pitch - 2 * across)));
}

/**
 * A thread's span, in the upright plane of its line, against the thread that it crosses at one of its nodes: its centre line must
 * keep from the crossed section, an ellipse as that plane cuts it, by its own section's reach. Where the crossed thread leans,
 * the same in planes beside it.
 * @param heights of the span (`fillHeights`)
 * @param crossedThread the one crossed, @param atEnd whether at the span's last node
 * @param side 1 where the span lies over it, −1 under
 * @param soft whether only what has swelled beyond the contact sections gives
 * @returns whether they lie in one another by more than `leastMm`; `contact` then tells what parts them
 */
export function meetUnlike(
  contact: Contact,
  span: Span,
  heights: Float64Array,
  other: ApartFamily,
  crossedThread: number,
  atEnd: boolean,
  side: number,
  leastMm: number,
  soft: boolean,
): boolean {
  const { of: own, thread, from, to, pitchMm } = span;
  const f = own.field;
  const g = other.field;
  const at = atEnd ? to : from;
  const halfWidth = other.halfWidthMm[crossedThread];
  const halfHeight = other.halfHeightMm[crossedThread];
  section.side = side;
  met.missing = leastMm;
  let found = false;
  let upright = 1;
  for (let k = 0; k < SLICES.length; k++) {
    const beside = SLICES[k];
    lookUp(other, crossedThread, thread, f.offsetMm[at] + beside * own.halfWidthMm[thread] * f.widthFactor[at]);
    const longer = Math.sqrt(1 + crossed.slope * crossed.slope);
    section.beyond = crossed.aside + (atEnd ? pitchMm : 0);
    section.height = crossed.height;
    section.own = Math.sqrt(1 - beside * beside);
    section.slope = k === 0 ? crossed.slope : 0;
    section.skew = k === 0 ? f.offsetSlope[at] + g.offsetSlope[at] : 0;
    section.wide = halfWidth * g.widthFactor[at];
    section.tall = halfHeight * longer * g.heightFactor[at];
    nearestMm = -Infinity;
    const deep = deepestInPlane(span, heights);
    const near = nearestMm > -SLICED_SHARE * own.halfHeightMm[thread];
    if (deep || (near && Math.abs(f.slope[at]) > STEEP && deepestEdge(met, span, section))) {
      found = true;
      upright = longer;
    }
    if (k === 0 && !(near && Math.abs(section.slope) + Math.abs(section.skew) > BENT)) break;
  }
  if (!found) return false;
  contact.begin(met.missing);
  addSections(contact, span, met.u, met.reach, 0, soft);
  addSection(contact, other, crossedThread, at, met.edgeTall * upright, met.edgeWide, soft);
  if (soft) return true;
  const rise = side * met.normalY;
  addCurve(contact, span, met.u, rise);
  addHeight(contact, other, crossedThread, at, -rise);
  return true;
}

/**
 * The deepest of the span's places, to `met`; false where none is deeper than what it holds. The place that lies deepest in the
 * ellipse with both axes longer by the span's own reach is looked at closely, and those beside it where they may be in question.
 */
function deepestInPlane(span: Span, heights: Float64Array): boolean {
  const { of, thread, from, to, pitchMm, parts } = span;
  const { beyond, height, slope, skew, wide, tall } = section;
  const f = of.field;
  const high = section.own * of.halfHeightMm[thread] * Math.max(f.heightFactor[from], f.heightFactor[to]);
  const broad = of.halfWidthMm[thread] * Math.max(f.widthFactor[from], f.widthFactor[to]);
  const most = high + (Math.abs(slope) + Math.abs(skew)) * broad;
  const clearX = 1 / (wide + most);
  const clearY = 1 / (tall + most);
  const step = (pitchMm / parts) * clearX;
  let sx = -beyond * clearX;
  let least = CLEAR_SHARE * CLEAR_SHARE;
  let place = -1;
  for (let k = 0; k <= parts; k++, sx += step) {
    const sy = (heights[k] - height) * clearY;
    const within = sx * sx + sy * sy;
    if (within >= least) continue;
    least = within;
    place = k;
  }
  if (place < 0) return false;
  const before = met.missing;
  const missing = lookClosely(span, heights, place);
  if (missing < before - NEAR_SHARE * most) return false;
  if (place > 0) lookClosely(span, heights, place - 1);
  if (place < parts) lookClosely(span, heights, place + 1);
  return met.missing > before;
}

/** How deep the span lies in the section at one of its places; to `met` where that is deeper than what it holds. */
function lookClosely({ of, thread, from, to, pitchMm, parts }: Span, heights: Float64Array, k: number): number {
  const { beyond, height, slope, skew, wide, tall, side, own } = section;
  const { widthFactor, heightFactor } = of.field;
  const x = (k * pitchMm) / parts - beyond;
  const y = side * (heights[k] - height);
  const share = sectionStep(k / parts);
  const b = own * of.halfHeightMm[thread] * (heightFactor[from] + share * (heightFactor[to] - heightFactor[from]));
  nearestOnEllipse(nearest, x, y, wide, tall);
  const normalX = x < 0 ? -nearest.normalX : nearest.normalX;
  const normalY = y < 0 ? -nearest.normalY : nearest.normalY;
  let needed = b;
  if (slope !== 0 || skew !== 0) {
    const a = of.halfWidthMm[thread] * (widthFactor[from] + share * (widthFactor[to] - widthFactor[from]));
    const lean = a * (side * slope * normalY + skew * normalX);
    needed = Math.sqrt(b * b + lean * lean);
  }
  const missing = needed - nearest.distance;
  if (missing > nearestMm) nearestMm = missing;
  if (missing <= met.missing) return missing;
  met.missing = missing;
  met.u = k / parts;
  met.normalX = normalX;
  met.normalY = normalY;
  met.edgeWide = nearest.wide * nearest.normalX;
  met.edgeTall = nearest.tall * nearest.normalY;
  met.reach = (own * b) / needed;
  return missing;
}
