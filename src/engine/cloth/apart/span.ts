import { limitedWrap, TIGHT_BEND } from '#engine/cloth/bend.ts';
import { sectionStep } from '#engine/cloth/curve.ts';
import { MOST_WRAP } from '#engine/cloth/heights/wrapSegment.ts';
import type { ApartFamily } from './apartFamily.ts';
import type { Contact } from './contact.ts';

/** Most even parts of a span, at whose ends threads are held apart; half as many where it is not steep. */
export const PARTS = 16;
/** Of a steep span a coarser look would miss the nearest place: mean slope. */
const STEEP = 0.5;
/** A node's compliance is that of a force p³/24B; a wrap's is 24 over the integral of its shape's squared bend (0.343) times it. */
const WRAP_SOFTNESS = 70;
/** And that of a moment, over p². */
const SLOPE_SOFTNESS = 3;
/** Nor does a thread grow steeper than this, nor move by more than this share of its half thickness: what needs more is not drawn amiss. */
const MOST_SLOPE = 2;
const MOST_MOVED = 0.5;
/** No section gives to less than this share of its contact width or height. */
const LEAST_FACTOR = 0.4;

/** Which ways threads may give besides their sections. */
export type Moves = 'upright' | 'anyhow';

/** A thread's stretch from one line to the next. */
export interface Span {
  readonly of: ApartFamily;
  readonly thread: number;
  readonly from: number;
  readonly to: number;
  readonly pitchMm: number;
  /** Even parts that it is looked at in (`fillHeights`). */
  parts: number;
}

/** Wraps of a span that bends tightly, no larger than the picture takes them (`settleBend`). */
function limitWraps({ of, thread, from, to, pitchMm }: Span): void {
  const f = of.field;
  const rise = f.heightMm[to] - f.heightMm[from];
  const across = f.offsetMm[to] - f.offsetMm[from];
  const bent = (change: number, s0: number, s1: number, first: boolean) =>
    first ? 3 * change - (2 * s0 + s1) * pitchMm : (s0 + 2 * s1) * pitchMm - 3 * change;
  const bend0 = bent(rise, f.slope[from], f.slope[to], true);
  const bend1 = bent(rise, f.slope[from], f.slope[to], false);
  const start = f.wrapStartMm[from];
  const end = f.wrapEndMm[from];
  const up = Math.max(
    Math.abs(bend0 + start),
    Math.abs(bend1 + end),
    Math.abs((bend0 + bend1) / 2 - (start + end) / 4),
  );
  const beside = Math.max(
    Math.abs(bent(across, f.offsetSlope[from], f.offsetSlope[to], true)),
    Math.abs(bent(across, f.offsetSlope[from], f.offsetSlope[to], false)),
  );
  const tall = of.halfHeightMm[thread] * Math.max(f.heightFactor[from], f.heightFactor[to]);
  const wide = of.halfWidthMm[thread] * Math.max(f.widthFactor[from], f.widthFactor[to]);
  if (2 * Math.max(up * tall, beside * wide) <= TIGHT_BEND * pitchMm * pitchMm) return;
  f.wrapStartMm[from] = limitedWrap(start, bend0);
  f.wrapEndMm[from] = limitedWrap(end, bend1);
}

/** Heights of a span at the ends of its parts, its wraps as the picture takes them. */
export function fillHeights(out: Float64Array, span: Span): void {
  limitWraps(span);
  const { of, from, to, pitchMm } = span;
  const { heightMm, slope } = of.field;
  const climb = Math.abs(heightMm[to] - heightMm[from]) + 0.25 * pitchMm * Math.abs(slope[to] - slope[from]);
  span.parts = climb > STEEP * pitchMm ? PARTS : PARTS / 2;
  const rise = heightMm[to] - heightMm[from];
  const z0 = heightMm[from];
  const z1 = slope[from] * pitchMm;
  const z2 = 3 * rise - (2 * slope[from] + slope[to]) * pitchMm;
  const z3 = (slope[from] + slope[to]) * pitchMm - 2 * rise;
  const start = of.field.wrapStartMm[from];
  const change = of.field.wrapEndMm[from] - start;
  const { parts } = span;
  for (let k = 0; k <= parts; k++) {
    const u = k / parts;
    const q = u * (1 - u);
    out[k] = z0 + u * (z1 + u * (z2 + u * z3)) + q * q * (start + u * change);
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
export function addOffset(contact: Contact, of: ApartFamily, thread: number, node: number, rate: number): void {
  const found = of.foundOffsetMm[node];
  const most = MOST_MOVED * of.halfWidthMm[thread];
  contact.add(of.field.offsetMm, node, rate, of.bendMmPerN[thread], found - most, found + most);
}

/** The span's own curve: moved by a mm at u it parts the surfaces by `rise`. */
export function addCurve(contact: Contact, span: Span, u: number, rise: number): void {
  const { of, from, to, pitchMm } = span;
  const { slope, wrapStartMm, wrapEndMm } = of.field;
  const bend = of.bendMmPerN[span.thread];
  const v = 1 - u;
  const share = sectionStep(u);
  const wrap = u * u * v * v;
  const most = MOST_WRAP * pitchMm;
  const turn = (SLOPE_SOFTNESS * bend) / (pitchMm * pitchMm);
  const steepest = (node: number) => Math.max(MOST_SLOPE, Math.abs(slope[node]));
  addHeight(contact, of, span.thread, from, rise * (1 - share));
  addHeight(contact, of, span.thread, to, rise * share);
  contact.add(slope, from, rise * pitchMm * u * v * v, turn, -steepest(from), steepest(from));
  contact.add(slope, to, -rise * pitchMm * u * u * v, turn, -steepest(to), steepest(to));
  contact.add(wrapStartMm, from, rise * wrap * v, WRAP_SOFTNESS * bend, -most, most);
  contact.add(wrapEndMm, from, rise * wrap * u, WRAP_SOFTNESS * bend, -most, most);
}
