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

/** Where a span lies beside its line, and how it leads aside, at u. */
const own = { offset: 0, slope: 0 };

function lookAside({ of, from, to, pitchMm }: Span, u: number): void {
  const { offsetMm, offsetSlope } = of.field;
  const across = offsetMm[to] - offsetMm[from];
  const start = offsetSlope[from] * pitchMm;
  const end = offsetSlope[to] * pitchMm;
  const second = 3 * across - 2 * start - end;
  const third = start + end - 2 * across;
  own.offset = offsetMm[from] + u * (start + u * (second + u * third));
  own.slope = (start + u * (2 * second + 3 * u * third)) / pitchMm;
}

/** Looks up the thread that a span crosses, to `section` and `crossed`; as `meetUnlike` has them. */
export function lookUpCrossed(
  span: Span,
  other: ApartFamily,
  crossedThread: number,
  lineMm: number,
  side: number,
): void {
  const { of, thread, from, to, pitchMm, straight } = span;
  // Lines lie at the span's ends or beyond.
  const node = lineMm > 0 ? to : from;
  own.offset = of.field.offsetMm[node];
  own.slope = of.field.offsetSlope[node];
  if (!straight) {
    const at = crossedThread * other.threadStep + thread * other.lineStep;
    const aside = other.field.offsetMm[at] + own.offset * other.field.offsetSlope[at];
    if (aside !== 0) lookAside(span, Math.min(1, Math.max(0, (lineMm + aside) / pitchMm)));
  }
  lookUp(other, crossedThread, thread, own.offset);
  const ownTurn = 1 / Math.sqrt(1 + own.slope * own.slope);
  const { widthFactor, heightFactor } = other.field;
  const { from: a, to: b, share } = crossed;
  section.beyond = lineMm + there.offset;
  section.height = there.height;
  section.across = own.offset;
  section.slope = there.slope;
  section.bend = there.bend;
  section.asideSlope = there.offsetSlope;
  section.stretch = 1 / Math.sqrt(1 + there.offsetSlope * there.offsetSlope);
  section.upright = Math.sqrt(1 + there.slope * there.slope);
  section.wide = other.halfWidthMm[crossedThread] * (widthFactor[a] + share * (widthFactor[b] - widthFactor[a]));
  section.tall =
    other.halfHeightMm[crossedThread] *
    (heightFactor[a] + share * (heightFactor[b] - heightFactor[a])) *
    section.upright;
  section.leanX = (own.slope + there.offsetSlope) * ownTurn * section.stretch;
  section.leanY = there.slope * ownTurn;
  section.side = side;
}
