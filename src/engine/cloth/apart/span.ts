import { sectionStep } from '#engine/cloth/curve.ts';
import { MOST_WRAP } from '#engine/cloth/heights/wrapSegment.ts';
import type { ApartFamily } from './apartFamily.ts';
import type { Contact } from './contact.ts';
import { limitWraps, type Stretch } from './tightBend.ts';

/** Most even parts of a span, at whose ends threads are held apart; half as many where it is not steep. */
export const PARTS = 16;
/** Of a steep span a coarser look would miss the nearest place: mean slope. */
const STEEP = 0.5;
/** A span whose offset changes by less than this share of its half width is taken to keep to one. */
const STRAIGHT = 0.01;
/** A node's compliance is that of a force p³/24B; a wrap's is 24 over the integral of its shape's squared bend (0.343) times it. */
const WRAP_SOFTNESS = 70;
/** And that of a moment, over p². */
const SLOPE_SOFTNESS = 3;
/** Nor does a thread grow steeper than this, nor move by more than this share of its half thickness: what needs more is not drawn amiss. */
const MOST_SLOPE = 2;
const MOST_MOVED = 0.5;
/** Most that a wrap may be where it gives, over the pitch, found larger or not: with more a span folds. */
const MOST_PARTED_WRAP = MOST_WRAP / 2;
/** No section gives to less than this share of its contact width or height. */
const LEAST_FACTOR = 0.4;

/** Which ways threads may give besides their sections. */
export type Moves = 'upright' | 'anyhow';

/** A thread's stretch from one line to the next. */
export interface Span extends Stretch {
  /** Even parts that it is looked at in, and height and offset at their ends, mm (`fillCurve`). */
  parts: number;
  readonly heights: Float64Array;
  readonly offsets: Float64Array;
  /** Whether it keeps to one offset all along. */
  straight: boolean;
  /** Furthest that its offset goes from where it starts, mm. */
  wander: number;
}

/** Heights and offsets of a span at the ends of its parts, its wraps as the picture takes them. */
export function fillCurve(span: Span): void {
  limitWraps(span);
  const { of, from, to, pitchMm, heights, offsets } = span;
  const { heightMm, slope, offsetMm, offsetSlope } = of.field;
  const climb = Math.abs(heightMm[to] - heightMm[from]) + 0.25 * pitchMm * Math.abs(slope[to] - slope[from]);
  span.parts = climb > STEEP * pitchMm ? PARTS : PARTS / 2;
  const { parts } = span;
  const rise = heightMm[to] - heightMm[from];
  const z0 = heightMm[from];
  const z1 = slope[from] * pitchMm;
  const z2 = 3 * rise - (2 * slope[from] + slope[to]) * pitchMm;
  const z3 = (slope[from] + slope[to]) * pitchMm - 2 * rise;
  const start = of.field.wrapStartMm[from];
  const change = of.field.wrapEndMm[from] - start;
  const step = 1 / parts;
  for (let k = 0, u = 0; k <= parts; k++, u += step) {
    const q = u * (1 - u);
    heights[k] = z0 + u * (z1 + u * (z2 + u * z3)) + q * q * (start + u * change);
  }
  const o0 = offsetMm[from];
  const across = offsetMm[to] - o0;
  const o1 = offsetSlope[from] * pitchMm;
  const oEnd = offsetSlope[to] * pitchMm;
  span.straight = Math.abs(across) + Math.abs(o1) + Math.abs(oEnd) < STRAIGHT * of.halfWidthMm[span.thread];
  span.wander = 0;
  if (span.straight) {
    offsets.fill(o0 + across / 2, 0, parts + 1);
    return;
  }
  const o2 = 3 * across - 2 * o1 - oEnd;
  const o3 = o1 + oEnd - 2 * across;
  for (let k = 0, u = 0; k <= parts; k++, u += step) {
    const moved = u * (o1 + u * (o2 + u * o3));
    offsets[k] = o0 + moved;
    span.wander = Math.max(span.wander, Math.abs(moved));
  }
}

/** What of a contact is the span's own: its section's height and width at u part the surfaces by these for each mm less. */
export function addSections(contact: Contact, span: Span, u: number, tall: number, wide: number, soft: boolean): void {
  const share = sectionStep(u);
  addSection(contact, span.of, span.thread, span.from, (1 - share) * tall, (1 - share) * wide, soft);
  addSection(contact, span.of, span.thread, span.to, share * tall, share * wide, soft);
}

/** The section at a node. @param soft whether only what has swelled beyond the contact section gives */
export function addSection(
  contact: Contact,
  of: ApartFamily,
  thread: number,
  node: number,
  tall: number,
  wide: number,
  soft: boolean,
): void {
  const { widthFactor, heightFactor } = of.field;
  const halfHeight = of.halfHeightMm[thread];
  const halfWidth = of.halfWidthMm[thread];
  const give = soft ? 1 : of.giveMmPerN[thread];
  // Fibres lie no closer than they can: what is less high must stay as much wider, up to its contact width.
  const least = (beside: number) => (soft ? 1 : Math.max(LEAST_FACTOR, of.leastArea[thread] / Math.max(1, beside)));
  contact.add(
    heightFactor,
    node,
    -tall * halfHeight,
    give / halfHeight ** 2,
    Math.min(heightFactor[node], least(widthFactor[node])),
  );
  contact.add(
    widthFactor,
    node,
    -wide * halfWidth,
    give / halfWidth ** 2,
    Math.min(widthFactor[node], least(heightFactor[node])),
  );
}

/** A node's height: moved by a mm it parts the surfaces by `rate`. */
export function addHeight(contact: Contact, of: ApartFamily, thread: number, node: number, rate: number): void {
  const found = of.foundHeightMm[node];
  const most = MOST_MOVED * of.halfHeightMm[thread];
  contact.add(of.field.heightMm, node, rate, of.bendMmPerN[thread], found - most, found + most);
}

/** The same of its place beside its line. */
function addOffset(contact: Contact, of: ApartFamily, thread: number, node: number, rate: number): void {
  const found = of.foundOffsetMm[node];
  const most = MOST_MOVED * of.halfWidthMm[thread];
  contact.add(of.field.offsetMm, node, rate, of.bendMmPerN[thread], found - most, found + most);
}

/** The span's way aside: moved by a mm at u it parts the surfaces by `away`. */
export function addAside(contact: Contact, { of, thread, from, to }: Span, u: number, away: number): void {
  const share = sectionStep(u);
  addOffset(contact, of, thread, from, away * (1 - share));
  addOffset(contact, of, thread, to, away * share);
}

/** The span's own curve: moved by a mm at u it parts the surfaces by `rise`. */
export function addCurve(contact: Contact, span: Span, u: number, rise: number): void {
  const { of, from, to, pitchMm } = span;
  const { slope, wrapStartMm, wrapEndMm } = of.field;
  const bend = of.bendMmPerN[span.thread];
  const v = 1 - u;
  const share = sectionStep(u);
  const wrap = u * u * v * v;
  const most = MOST_PARTED_WRAP * pitchMm;
  const turn = (SLOPE_SOFTNESS * bend) / (pitchMm * pitchMm);
  const steepest = (node: number) => Math.max(MOST_SLOPE, Math.abs(slope[node]));
  addHeight(contact, of, span.thread, from, rise * (1 - share));
  addHeight(contact, of, span.thread, to, rise * share);
  contact.add(slope, from, rise * pitchMm * u * v * v, turn, -steepest(from), steepest(from));
  contact.add(slope, to, -rise * pitchMm * u * u * v, turn, -steepest(to), steepest(to));
  contact.add(wrapStartMm, from, rise * wrap * v, WRAP_SOFTNESS * bend, -most, most);
  contact.add(wrapEndMm, from, rise * wrap * u, WRAP_SOFTNESS * bend, -most, most);
}
