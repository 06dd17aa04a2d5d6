import { type CurveNodes, curveHeight, sectionStep } from '#engine/cloth/curve.ts';
import { assignLevels } from '#engine/cloth/heights/crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { findLikeContacts } from '#engine/cloth/heights/likeContacts.ts';
import type { SectionFields } from './neighbourRoom.ts';
import type { PlanThreads } from './planSide.ts';
import type { SidewaysSolution } from './solveSideways.ts';

/** Places of a span at which two threads are held apart, from a quarter of it to three: nearer its nodes hold them. */
const PLACES = [0.25, 0.375, 0.5, 0.625, 0.75];
/** Most wrap over the span, as where threads wrap round what they cross (wrapSegment.ts). */
const MOST_WRAP = 24;

/** Contacts between two pauses: a few milliseconds of work. */
const CONTACTS_PER_PAUSE = 20_000;

/** One family's fields over the region. */
interface Family {
  readonly nodes: CurveNodes & { readonly wrapStartMm: Float64Array; readonly wrapEndMm: Float64Array };
  readonly offsetMm: Float64Array | null;
  readonly halfWidthMm: (thread: number) => number;
  readonly halfHeightMm: Float64Array;
  readonly widthFactor: Float32Array;
  readonly heightFactor: Float32Array;
  readonly positionMm: Float64Array;
  readonly periodMm: number;
  readonly lineMm: Float64Array;
  readonly linePeriodMm: number;
  readonly lines: number;
  readonly threadStep: number;
  readonly lineStep: number;
}

const stepped = (from: number, to: number, u: number): number => from + sectionStep(u) * (to - from);

/**
 * Parts like threads that lie on one another: the solver holds them apart at the crossings; between these, where one leaves
 * more steeply than the other, they would run into each other. The wrap of their spans, half of each, takes up what is
 * missing of the sections as drawn. Changes the solution's wraps in place. Does nothing where rows lie side by side in a shed.
 * Pauses now and then.
 */
export function* partLikes(
  problem: HeightsProblem,
  solution: HeightsSolution,
  sections: SectionFields,
  threads: PlanThreads,
  sideways: SidewaysSolution | null,
): Generator<void, void> {
  const contacts = findLikeContacts(problem);
  const { rows, ends, endXMm, rowYMm, periodXMm = 0, periodYMm = 0 } = problem;
  if (!contacts || assignLevels(problem).levelYMm.length !== rows) return;
  const lines = solution.onLines ?? solution;
  const warp: Family = {
    nodes: {
      heightMm: lines.warpHeightMm,
      slope: lines.warpSlope,
      wrapStartMm: solution.warpWrapStartMm,
      wrapEndMm: solution.warpWrapEndMm,
    },
    offsetMm: sideways?.endOffsetMm ?? null,
    halfWidthMm: (thread) => threads.endContactWidthMm[thread] / 2,
    halfHeightMm: problem.endHalfHeightMm,
    widthFactor: sections.warpWidth,
    heightFactor: sections.warpHeight,
    positionMm: endXMm,
    periodMm: periodXMm,
    lineMm: rowYMm,
    linePeriodMm: periodYMm,
    lines: rows,
    threadStep: 1,
    lineStep: ends,
  };
  const weft: Family = {
    nodes: {
      heightMm: lines.weftHeightMm,
      slope: lines.weftSlope,
      wrapStartMm: solution.weftWrapStartMm,
      wrapEndMm: solution.weftWrapEndMm,
    },
    offsetMm: sideways?.rowOffsetMm ?? null,
    halfWidthMm: (thread) => threads.rowContactWidthMm[thread] / 2,
    halfHeightMm: problem.rowHalfHeightMm,
    widthFactor: sections.weftWidth,
    heightFactor: sections.weftHeight,
    positionMm: rowYMm,
    periodMm: periodYMm,
    lineMm: endXMm,
    linePeriodMm: periodXMm,
    lines: ends,
    threadStep: ends,
    lineStep: 1,
  };
  yield;
  for (let c = 0; c < contacts.count; c++) {
    if (c % CONTACTS_PER_PAUSE === CONTACTS_PER_PAUSE - 1) yield;
    fitSections(c < contacts.ofEnds ? warp : weft, contacts.upper[c], contacts.lower[c], ends);
  }
  // Per node from which an upper thread's span starts, the lower one's that it was last parted from: most meet twice.
  const parted = { warp: new Int32Array(rows * ends).fill(-1), weft: new Int32Array(rows * ends).fill(-1) };
  for (let c = 0; c < contacts.count; c++) {
    if (c % CONTACTS_PER_PAUSE === CONTACTS_PER_PAUSE - 1) yield;
    const family = c < contacts.ofEnds ? warp : weft;
    const upper = contacts.upper[c];
    const lower = contacts.lower[c];
    const line = family === warp ? Math.floor(upper / ends) : upper % ends;
    for (const from of [line, line - 1]) {
      const start = from < 0 ? family.lines - 1 : from;
      if ((from < 0 || from + 1 >= family.lines) && family.linePeriodMm === 0) continue;
      const back = (start - line) * family.lineStep;
      const done = family === warp ? parted.warp : parted.weft;
      if (done[upper + back] === lower + back) continue;
      done[upper + back] = lower + back;
      partSpan(family, upper + back, lower + back, start);
    }
  }
}

/** Lets two free sections that lie on one another at a node spread no further than there is room, down to their contact sections. */
function fitSections(family: Family, upper: number, lower: number, ends: number): void {
  const { nodes, offsetMm, halfHeightMm, widthFactor, heightFactor } = family;
  const threadOf = (node: number) => (family.threadStep === 1 ? node % ends : Math.floor(node / ends));
  const [a, b] = [threadOf(upper), threadOf(lower)];
  const { beside, sign } = besideOf(family, a, b);
  const moved = offsetMm ? sign * (offsetMm[upper] - offsetMm[lower]) : 0;
  const widths = family.halfWidthMm(a) * widthFactor[upper] + family.halfWidthMm(b) * widthFactor[lower];
  const share = (beside + moved) / widths;
  if (share * share >= 1) return;
  const heights = halfHeightMm[a] * heightFactor[upper] + halfHeightMm[b] * heightFactor[lower];
  const fits = (nodes.heightMm[upper] - nodes.heightMm[lower]) / (heights * Math.sqrt(1 - share * share));
  if (fits >= 1) return;
  for (const node of [upper, lower])
    heightFactor[node] = Math.max(Math.min(1, heightFactor[node]), heightFactor[node] * fits);
  const left = halfHeightMm[a] * heightFactor[upper] + halfHeightMm[b] * heightFactor[lower];
  const level = (nodes.heightMm[upper] - nodes.heightMm[lower]) / left;
  if (level >= 1) return;
  const narrows = Math.abs(share) / Math.sqrt(1 - Math.max(0, level) ** 2);
  if (narrows >= 1) return;
  for (const node of [upper, lower])
    widthFactor[node] = Math.max(Math.min(1, widthFactor[node]), widthFactor[node] * narrows);
}

/** Distance of two threads' lines, and whether the first lies beyond the other (1) or before it (−1). */
function besideOf({ positionMm, periodMm }: Family, a: number, b: number): { beside: number; sign: number } {
  const apart = Math.abs(positionMm[a] - positionMm[b]);
  // Neighbours over the edge of a repeat are nearer that way round.
  const beside = periodMm > 0 ? Math.min(apart, periodMm - apart) : apart;
  return { beside, sign: Math.sign(positionMm[a] - positionMm[b]) * (beside < apart ? -1 : 1) };
}

/** Parts the spans of two threads from `line` to the next, the first from node `upper`, the other from `lower`. */
function partSpan(family: Family, upper: number, lower: number, line: number): void {
  const { nodes, offsetMm, halfHeightMm, widthFactor, heightFactor, lineMm, lineStep } = family;
  const turns = line + 1 === family.lines;
  const pitch = turns ? family.linePeriodMm - lineMm[line] + lineMm[0] : lineMm[line + 1] - lineMm[line];
  if (!(pitch > 0)) return;
  const step = turns ? -line * lineStep : lineStep;
  const threadOf = (node: number) => Math.floor((node - line * lineStep) / family.threadStep);
  const [a, b] = [threadOf(upper), threadOf(lower)];
  const { beside, sign } = besideOf(family, a, b);
  const moved = (node: number) => (offsetMm ? sign * (offsetMm[node + upper - lower] - offsetMm[node]) : 0);
  const [movedFrom, movedTo] = [moved(lower), moved(lower + step)];
  const [widthA, widthB] = [family.halfWidthMm(a), family.halfWidthMm(b)];
  let atStart = 0;
  let atEnd = 0;
  for (const u of PLACES) {
    const widths =
      widthA * stepped(widthFactor[upper], widthFactor[upper + step], u) +
      widthB * stepped(widthFactor[lower], widthFactor[lower + step], u);
    const share = (beside + movedFrom + u * (movedTo - movedFrom)) / widths;
    if (share * share >= 1) continue;
    const heights =
      halfHeightMm[a] * stepped(heightFactor[upper], heightFactor[upper + step], u) +
      halfHeightMm[b] * stepped(heightFactor[lower], heightFactor[lower + step], u);
    const above = curveHeight(nodes, upper, upper + step, pitch, u) - curveHeight(nodes, lower, lower + step, pitch, u);
    const missing = heights * Math.sqrt(1 - share * share) - above;
    if (missing <= 0) continue;
    // Of the wrap u²(1−u)² [(1−u) start + u end], the half of the span that the place lies in has its part.
    const perMm = 1 / (u * (1 - u)) ** 2;
    atStart = Math.max(atStart, u < 0.6 ? missing * perMm : 0);
    atEnd = Math.max(atEnd, u > 0.4 ? missing * perMm : 0);
  }
  if (atStart === 0 && atEnd === 0) return;
  const most = MOST_WRAP * pitch;
  const add = (field: Float64Array, node: number, by: number): void => {
    field[node] = Math.max(-most, Math.min(most, field[node] + by / 2));
  };
  add(nodes.wrapStartMm, upper, atStart);
  add(nodes.wrapEndMm, upper, atEnd);
  add(nodes.wrapStartMm, lower, -atStart);
  add(nodes.wrapEndMm, lower, -atEnd);
}
