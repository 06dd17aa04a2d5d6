import { BEND_SHARE } from '#engine/cloth/bend.ts';
import { createCurvePoint, curvePoint, sectionStep } from '#engine/cloth/curve.ts';
import { section } from './crossedSection.ts';
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

/** Slopes from which the picture's surface is looked at; it counts in full from twice that. */
export const STEEP = 0.22;

/** From 0 at `from` to 1 at twice that. */
const setIn = (value: number, from: number): number => Math.min(1, Math.max(0, value / from - 1));

/** Step beside the span's middle, over its half width, in which the deepest place is sought. */
const STEP = 0.4;
/** Over its half width: beyond, nothing of the span is there. */
const FURTHEST = 0.95;

/** Least share of upwards in the way on which what meets beside a thread parts from it: further up it is rounded. */
const LEAST_UP = 0.7;

const at = createCurvePoint();
/** Of the place looked at last. */
const place = { x: 0, y: 0, a: 1, b: 1, foot: 0 };

/** The deepest place yet of those looked at. */
const best = { depth: 0, beside: 0 };
/** What is further away than this share of the half width is not looked at more closely. */
const NODE_FAR = 0.3;

/** How much of what is found counts, 0..1: it sets in by degrees, else like places would be parted here and not there. */
let counts = 1;

const within = (value: number, most: number) => Math.min(most, Math.max(-most, value));

/**
 * How deep a place lies in a span as the picture draws it, mm, below 0 outside: in a plane across the thread its surface is where the foot
 * on the tangent there, and the bend there, put it (`sectionAt`), which at a node is not where the neighbouring span has it.
 */
function depthAt({ of, thread, from, to, pitchMm }: Span, u: number, across: number, height: number): number {
  const f = of.field;
  curvePoint(at, f, from, to, pitchMm, u);
  const { slope, offsetSlope } = at;
  const w = across - at.offset;
  const h = height - at.height;
  const level2 = 1 + offsetSlope * offsetSlope;
  const grade = 1 / (level2 + slope * slope);
  const foot = (w * offsetSlope + h * slope) * grade;
  const share = sectionStep(u);
  const rate = (6 * u * (1 - u)) / pitchMm;
  const aChange = of.halfWidthMm[thread] * (f.widthFactor[to] - f.widthFactor[from]);
  const bChange = of.halfHeightMm[thread] * (f.heightFactor[to] - f.heightFactor[from]);
  const a = of.halfWidthMm[thread] * f.widthFactor[from] + share * aChange;
  const b = of.halfHeightMm[thread] * f.heightFactor[from] + share * bChange;
  const bendO = within(0.5 * foot * foot * within(at.offsetBend, (2 * BEND_SHARE) / a), BEND_SHARE * a);
  const bendZ = within(0.5 * foot * foot * within(at.bend, (2 * BEND_SHARE) / b), BEND_SHARE * b);
  const x = (w - bendO) / (Math.sqrt(level2) * Math.max(0.2 * a, a + foot * rate * aChange));
  const y =
    ((h - bendZ - ((w - bendO) * offsetSlope * slope) / level2) * Math.sqrt(level2 * grade)) /
    Math.max(0.2 * b, b + foot * rate * bChange);
  place.x = x;
  place.y = y;
  place.a = a;
  place.b = b;
  place.foot = foot;
  const r = Math.sqrt(x * x + y * y);
  const nx = x / a;
  const ny = y / b;
  return r < 1e-6 ? Math.min(a, b) : ((1 - r) * r) / Math.sqrt(nx * nx + ny * ny);
}

/** Cosine and sine of a place of the crossed section's edge, and how far along it the place lies from where the span crosses, mm. */
const edge = { cos: 0, sin: 0, along: 0, u: 0 };

function depthIn(span: Span, u: number, cos: number, sin: number, along: number): number {
  edge.u = u;
  edge.cos = cos;
  edge.sin = sin;
  edge.along = along;
  const height =
    section.height + along * (section.slope + 0.5 * along * section.bend) + section.side * section.tall * sin;
  return depthAt(span, u, section.across + along, height);
}

/** Keeps the place looked at last, if it is the deepest. */
function keep(met: EdgeMet, span: Span, found: number): boolean {
  const depth = counts * found;
  if (!(depth > met.missing)) return false;
  const { x, y, a, b, foot } = place;
  const upright = 1 / Math.sqrt(1 + at.slope * at.slope);
  const per = 1 / Math.sqrt((x / a) ** 2 + (y / b) ** 2 + 1e-12);
  const nx = Math.abs(x / a) * per;
  const ny = Math.abs(y / b) * per;
  const up = Math.max(LEAST_UP, ny);
  met.missing = depth;
  met.u = Math.min(1, Math.max(0, edge.u + foot / span.pitchMm));
  met.normalY = up * upright;
  met.edgeWide = Math.max(0, -edge.cos * section.side * at.slope * upright * up);
  met.edgeTall = Math.abs(edge.sin) * upright * up;
  met.tall = Math.abs(y) * up;
  met.wide = Math.abs(x) * nx;
  return true;
}

/**
 * The deepest place of the crossed thread's surface in a steep span as the picture draws it, in the upright planes of its nodes, where the
 * picture goes from one span to the next; to `met`.
 * @param beside how far from the span's middle they come nearest, @param halfWidth of the span there; mm
 * @returns whether it is deeper than what `met` holds
 */
export function deepestAtNodes(met: EdgeMet, span: Span, beside: number, halfWidth: number): boolean {
  const { slope, offsetSlope } = span.of.field;
  const most = FURTHEST * halfWidth;
  let found = false;
  for (let u = 0; u <= 1; u++) {
    const node = u === 0 ? span.from : span.to;
    counts = setIn(Math.abs(slope[node]) + Math.abs(offsetSlope[node]), STEEP);
    if (counts === 0) continue;
    best.depth = -Infinity;
    best.beside = 0;
    if (tryNode(met, span, u, within(beside, most))) found = true;
    if (best.depth < -NODE_FAR * halfWidth) continue;
    const step = STEP * halfWidth;
    const there = best.beside;
    if (tryNode(met, span, u, within(there - step, most))) found = true;
    if (tryNode(met, span, u, within(there + step, most))) found = true;
  }
  return found;
}

function tryNode(met: EdgeMet, span: Span, u: number, beside: number): boolean {
  const moved = span.straight ? 0 : span.offsets[u * span.parts] - section.across;
  const along = beside + moved;
  const wideMm = section.wide / section.stretch;
  const cos = (u * span.pitchMm - section.beyond - section.asideSlope * along) / wideMm;
  if (cos <= -1 || cos >= 1) return false;
  const depth = depthIn(span, u, cos, Math.sqrt(1 - cos * cos), along);
  if (depth > best.depth) {
    best.depth = depth;
    best.beside = beside;
  }
  return keep(met, span, depth);
}
