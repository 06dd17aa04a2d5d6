import { BEND_SHARE } from '#engine/cloth/bend.ts';
import { sectionStep } from '#engine/cloth/curve.ts';
import type { Span } from './span.ts';

/** A crossed section as the upright plane of the crossing thread cuts it, from the span's start; mm. */
export interface Section {
  /** Height of the span's own section in this plane over that in its middle. */
  own: number;
  beyond: number;
  height: number;
  /** Of the crossed thread along its own way. */
  slope: number;
  /** By how much the two threads' ways in plan fail to be square to each other, a slope. */
  skew: number;
  wide: number;
  tall: number;
  /** 1 where the span lies over it. */
  side: number;
}

/** Where span and section lie deepest in one another; what it holds in `missing` is outdone. */
export interface EdgeMet {
  u: number;
  missing: number;
  /** From the section to the span, on the span's own side. */
  normalX: number;
  normalY: number;
  /** By how much less width and height of the section part them, mm for a mm. */
  edgeWide: number;
  edgeTall: number;
  /** The same of the span's own height. */
  reach: number;
}

/** Places of the section's near edge: cosine and sine of even steps of half a turn. */
const EDGE_PARTS = 16;
const EDGE = new Float64Array(2 * EDGE_PARTS + 2);
for (let k = 0; k <= EDGE_PARTS; k++) {
  EDGE[2 * k] = Math.cos((Math.PI * k) / EDGE_PARTS);
  EDGE[2 * k + 1] = Math.sin((Math.PI * k) / EDGE_PARTS);
}

const within = (value: number, most: number) => Math.min(most, Math.max(-most, value));

/**
 * How deep the section's edge lies in a steep span as the picture draws it: in a plane across the thread its surface is where the
 * foot on the tangent there, and the bend there, put it (`sectionAt`), which at a node is not where the neighbouring span has it.
 * @returns false where nothing is deeper than what `met` holds
 */
export function deepestEdge(met: EdgeMet, { of, thread, from, to, pitchMm }: Span, section: Section): boolean {
  const f = of.field;
  const perMm = 1 / pitchMm;
  const rise = f.heightMm[to] - f.heightMm[from];
  const z1 = f.slope[from] * pitchMm;
  const z2 = 3 * rise - (2 * f.slope[from] + f.slope[to]) * pitchMm;
  const z3 = (f.slope[from] + f.slope[to]) * pitchMm - 2 * rise;
  const start = f.wrapStartMm[from];
  const change = f.wrapEndMm[from] - start;
  const b0 = section.own * of.halfHeightMm[thread] * f.heightFactor[from];
  const bChange = section.own * of.halfHeightMm[thread] * f.heightFactor[to] - b0;
  const a0 = of.halfWidthMm[thread] * f.widthFactor[from];
  const aChange = of.halfWidthMm[thread] * f.widthFactor[to] - a0;
  const { side } = section;
  let found = false;
  // Besides at the nodes themselves, where the picture goes from one span to the next.
  for (let k = 0; k <= EDGE_PARTS + 2; k++) {
    const node = k > EDGE_PARTS;
    const u = node ? k - EDGE_PARTS - 1 : (section.beyond + section.wide * EDGE[2 * k]) * perMm;
    if (u < 0 || u > 1) continue;
    const wide = node ? (u * pitchMm - section.beyond) / section.wide : EDGE[2 * k];
    if (wide < -1 || wide > 1) continue;
    const tallShare = node ? Math.sqrt(1 - wide * wide) : EDGE[2 * k + 1];
    const q = u * (1 - u);
    const q1 = 1 - 2 * u;
    const wrap = start + u * change;
    const height = f.heightMm[from] + u * (z1 + u * (z2 + u * z3)) + q * q * wrap;
    const slope = (z1 + u * (2 * z2 + 3 * u * z3) + 2 * q * q1 * wrap + q * q * change) * perMm;
    const bend = (2 * z2 + 6 * u * z3 + (2 * q1 * q1 - 4 * q) * wrap + 4 * q * q1 * change) * perMm * perMm;
    const upright = 1 / Math.sqrt(1 + slope * slope);
    const above = section.height + side * section.tall * tallShare - height;
    const foot = above * slope * upright * upright;
    const share = sectionStep(u);
    const b = b0 + share * bChange;
    const tall = Math.max(0.2 * b, b + foot * 6 * q * bChange * perMm);
    const moved = within(0.5 * foot * foot * within(bend, (2 * BEND_SHARE) / b), BEND_SHARE * b);
    const place = (side * (above - moved) * upright) / tall;
    if (place <= -1 || place >= 1) continue;
    const lean = (a0 + share * aChange) * upright * (section.slope - section.skew * slope);
    const needed = Math.sqrt(tall * tall + lean * lean);
    const missing = needed * (1 + place);
    if (missing <= met.missing) continue;
    found = true;
    met.missing = missing;
    met.u = Math.min(1, Math.max(0, u + foot * perMm));
    met.normalX = -side * slope * upright;
    met.normalY = upright;
    met.edgeWide = Math.max(0, wide * met.normalX);
    met.edgeTall = tallShare * upright;
    met.reach = (section.own * tall) / needed;
  }
  return found;
}
