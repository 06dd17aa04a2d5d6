import { createCurvePoint, curvePoint, sectionStep } from '#engine/cloth/curve.ts';
import type { ApartFamily } from './apartFamily.ts';
import type { Span } from './span.ts';

/** A crossed thread as one sees it along itself, over the way of the span that crosses it; mm. */
export interface Section {
  /** Where its middle lies beyond the span's start, and how high, at the offset `across` of the span. */
  beyond: number;
  height: number;
  across: number;
  /** How it climbs, bends upwards and leads aside along its own way. */
  slope: number;
  bend: number;
  asideSlope: number;
  /** What a mm along the span counts square to it. */
  stretch: number;
  /** Half width, and half height in an upright plane, over that square to it. */
  wide: number;
  tall: number;
  upright: number;
  /** By how much of the span's width its section leans out square to the crossed one's sides and to its top. */
  leanX: number;
  leanY: number;
  /** 1 where the span lies over it. */
  side: number;
}

export const section: Section = {
  beyond: 0,
  height: 0,
  across: 0,
  slope: 0,
  bend: 0,
  asideSlope: 0,
  stretch: 1,
  wide: 0,
  tall: 0,
  upright: 1,
  leanX: 0,
  leanY: 0,
  side: 1,
};

/** Nodes of the crossed thread's span that is met, and how much of its section is that of the second. */
export const crossed = { from: 0, to: 0, share: 0 };
/** The span where it crosses. */
export const ownAt = createCurvePoint();
const there = createCurvePoint();

/** Where thread `t` of a family passes a place beside its line `line`, to `there` and `crossed`. */
function lookUp(of: ApartFamily, t: number, line: number, besideMm: number): void {
  const { field, threadStep, lineStep, lines, pitchMm } = of;
  const before = line > 0 ? line - 1 : lines - 1;
  // At the edge of the cloth there is a span on one side only.
  const ahead = pitchMm[line] > 0 && (besideMm >= 0 || !(pitchMm[before] > 0));
  const start = ahead ? line : before;
  const pitch = pitchMm[start];
  const end = start + 1 < lines ? start + 1 : 0;
  crossed.from = t * threadStep + start * lineStep;
  crossed.to = t * threadStep + end * lineStep;
  if (pitch > 0) {
    const u = Math.min(1, Math.max(0, besideMm / pitch + (ahead ? 0 : 1)));
    crossed.share = sectionStep(u);
    curvePoint(there, field, crossed.from, crossed.to, pitch, u);
    return;
  }
  const node = t * threadStep + line * lineStep;
  crossed.from = crossed.to = node;
  crossed.share = 0;
  there.height = field.heightMm[node] + besideMm * field.slope[node];
  there.slope = field.slope[node];
  there.offset = field.offsetMm[node];
  there.bend = there.offsetSlope = there.offsetBend = 0;
}

/** Looks up the thread that a span crosses, to `section`, `crossed` and `ownAt`; as `meetUnlike` has them. */
export function lookUpCrossed(
  span: Span,
  other: ApartFamily,
  crossedThread: number,
  lineMm: number,
  side: number,
): void {
  const { of: own, thread, from, to, pitchMm, straight } = span;
  let u = Math.min(1, Math.max(0, lineMm / pitchMm));
  curvePoint(ownAt, own.field, from, to, pitchMm, u);
  lookUp(other, crossedThread, thread, ownAt.offset);
  if (!straight && there.offset !== 0) {
    u = Math.min(1, Math.max(0, (lineMm + there.offset) / pitchMm));
    curvePoint(ownAt, own.field, from, to, pitchMm, u);
    lookUp(other, crossedThread, thread, ownAt.offset);
  }
  const ownTurn = 1 / Math.sqrt(1 + ownAt.offsetSlope * ownAt.offsetSlope);
  const { widthFactor, heightFactor } = other.field;
  const { from: a, to: b, share } = crossed;
  const factor = (of: Float32Array) => of[a] + share * (of[b] - of[a]);
  section.beyond = lineMm + there.offset;
  section.height = there.height;
  section.across = ownAt.offset;
  section.slope = there.slope;
  section.bend = there.bend;
  section.asideSlope = there.offsetSlope;
  section.stretch = 1 / Math.sqrt(1 + there.offsetSlope * there.offsetSlope);
  section.upright = Math.sqrt(1 + there.slope * there.slope);
  section.wide = other.halfWidthMm[crossedThread] * factor(widthFactor);
  section.tall = other.halfHeightMm[crossedThread] * factor(heightFactor) * section.upright;
  section.leanX = (ownAt.offsetSlope + there.offsetSlope) * ownTurn * section.stretch;
  section.leanY = there.slope * ownTurn;
  section.side = side;
}
