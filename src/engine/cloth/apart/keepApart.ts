import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { type ApartFamily, type ApartGeometry, apartFamilies } from './apartFamily.ts';
import { Contact } from './contact.ts';
import { crossed } from './crossedSection.ts';
import { meetLikeAllOver } from './likeAllOver.ts';
import { meetLike } from './likeContact.ts';
import { fillCurve, type Moves, PARTS, type Span } from './span.ts';
import { meetUnlike } from './unlikeContact.ts';

/** Share of D by which surfaces may lie in one another: far below what is seen. */
const LEAST_SHARE = 4e-3;
/** Looks at a contact in the first round at which only what stands out beyond the contact section gives; and all rounds. */
const SOFT_LOOKS = 3;
const MOST_ROUNDS = 24;
/**
 * Repeats of up to so many crossings are looked at all over (`deepestAllOver`) once nothing more is seen, in so many rounds more at most;
 * larger ones would take too long.
 */
const MOST_THOROUGH = 1000;
const THOROUGH_ROUNDS = 96;
/** How many lines before and after a span may hold threads that reach it. */
const MOST_FURTHER = 2;
/** How many threads further on may lie beside or over a thread. */
const LAYERS = 3;

/** Crossings of rows and ends from .. to − 1. */
export interface Crossings {
  readonly rows: { readonly from: number; readonly to: number };
  readonly ends: { readonly from: number; readonly to: number };
}

type Looked = { -readonly [K in keyof Span]: Span[K] };

/**
 * Parts threads wherever their drawn surfaces lie in one another. Paths are found for contact sections at the nodes; between
 * these what is free has swelled, steep threads turn their sections, and a curve from node to node cannot follow every
 * wrap. First what has swelled gives way, then all gives by how soft it is: sections down to where fibres lie at
 * their closest, and both threads' bends. Changes the geometry's fields in place. Rows side by side in a shed are left as they
 * are. Pauses now and then.
 * @param moves of the threads' own ways: up and down, or sideways too (offsets are fields of their own then)
 * @param where threads are to be parted; all over if left out
 */
export function* keepApart(
  problem: ClothProblem,
  geometry: ApartGeometry,
  moves: Moves,
  where?: Crossings,
): Generator<void, void> {
  const { warp, weft } = apartFamilies(problem, geometry);
  if (warp.pitchMm.subarray(0, -1).some((pitch) => !(pitch > 0))) return;
  const { periodRows, periodEnds } = geometry;
  const whole = periodRows === problem.rows;
  let dirty = marked(periodRows, periodEnds, where);
  let next = new Uint8Array(periodRows * periodEnds);
  const contact = new Contact();
  const reach = { warp: furthest(warp), weft: furthest(weft) };
  const further = { warp: furtherLines(warp, reach.weft), weft: furtherLines(weft, reach.warp) };
  const step = Math.max(1, rowsPerPause(periodEnds) >> 3);
  const own = createLooked();
  const like = createLooked();
  let left = 1;
  let round = 0;
  let rounds = MOST_ROUNDS;
  const small = !where && periodRows * periodEnds <= MOST_THOROUGH;
  let thorough = false;
  while (++round <= rounds && left > 0) {
    left = 0;
    for (let row = 0; row < periodRows; row++) {
      // To look all over takes some thirty times as long.
      if (thorough || row % step === step - 1) yield;
      for (let end = 0; end < periodEnds; end++) {
        meetAll(warp, weft, end, row);
        meetAll(weft, warp, row, end);
      }
    }
    [dirty, next] = [next, dirty];
    next.fill(0);
    if (!thorough && small && (left === 0 || round === rounds)) {
      thorough = true;
      dirty.fill(1);
      left = 1;
      rounds = round + THOROUGH_ROUNDS;
    }
  }

  function present(row: number, end: number): boolean {
    return !whole || (end >= problem.rowFirst[row] && end <= problem.rowLast[row]);
  }

  /** A thread's span from a line to the next, against all that it may meet. */
  function meetAll(of: ApartFamily, other: ApartFamily, thread: number, line: number): void {
    if (!look(own, of, thread, line)) return;
    const { from, to } = own;
    const lineTo = line + 1 < of.lines ? line + 1 : 0;
    const isDirty = dirty[from] !== 0 || dirty[to] !== 0;
    let isFilled = isDirty;
    if (isDirty) fillCurve(own);
    if (isDirty) {
      const more = of.warp ? further.warp : further.weft;
      meetCrossed(of, other, line, 0);
      meetCrossed(of, other, lineTo, own.pitchMm);
      let at = 0;
      for (let k = 1, on = line; k <= more.before[line]; k++) {
        on = on > 0 ? on - 1 : of.lines - 1;
        at -= of.pitchMm[on];
        meetCrossed(of, other, on, at);
      }
      at = own.pitchMm;
      for (let k = 1, on = lineTo; k <= more.after[line]; k++) {
        at += of.pitchMm[on];
        on = on + 1 < of.lines ? on + 1 : 0;
        meetCrossed(of, other, on, at);
      }
    }
    const far = of.warp ? reach.warp : reach.weft;
    for (let k = 1; k <= LAYERS; k++) {
      const beside = thread + k < of.threads ? thread + k : thread + k - of.threads;
      if (beside === thread || (thread + k >= of.threads && of.turnMm === 0)) break;
      const apart = of.positionMm[beside] - of.positionMm[thread] + (beside < thread ? of.turnMm : 0);
      if (apart >= far[thread] + far[beside]) continue;
      if (!look(like, of, beside, line)) continue;
      if (!isDirty && dirty[like.from] === 0 && dirty[like.to] === 0) continue;
      if (passesBy(own, like, apart)) continue;
      if (!isFilled) fillCurve(own);
      isFilled = true;
      fillCurve(like);
      const least = LEAST_SHARE * (of.halfHeightMm[thread] + of.halfHeightMm[beside]);
      let softLooks = round === 1 ? SOFT_LOOKS : 0;
      while (
        meetLike(contact, own, like, apart, least, softLooks > 0, moves) ||
        (thorough && meetLikeAllOver(contact, own, like, apart, least, moves))
      ) {
        const gave = contact.settle();
        if (softLooks === 0) {
          giveWay(own, like.from, like.to);
          break;
        }
        softLooks = gave ? softLooks - 1 : 0;
      }
    }
  }

  /** The span in `own` against the thread that it crosses on a line so far beyond its start. */
  function meetCrossed(of: ApartFamily, other: ApartFamily, on: number, lineMm: number): void {
    const { thread } = own;
    const row = of.warp ? on : thread;
    const end = of.warp ? thread : on;
    if (!present(row, end)) return;
    const side = isWarpUp(problem.drawdown, row, end) === of.warp ? 1 : -1;
    const least = LEAST_SHARE * (of.halfHeightMm[thread] + other.halfHeightMm[on]);
    let softLooks = round === 1 ? SOFT_LOOKS : 0;
    while (meetUnlike(contact, own, other, on, lineMm, side, least, softLooks > 0, thorough)) {
      const gave = contact.settle();
      if (softLooks === 0) {
        giveWay(own, crossed.from, crossed.to);
        return;
      }
      // What only shrinks meets nothing anew.
      softLooks = gave ? softLooks - 1 : 0;
    }
  }

  /** The span has moved, and the nodes of what it met: all about them are to be looked at again. */
  function giveWay(span: Span, from: number, to: number): void {
    left++;
    next[span.from] = next[span.to] = next[from] = next[to] = 1;
    fillCurve(span);
  }

  /** The span of a thread from a line, to `out`; false where it is not there. */
  function look(out: Looked, of: ApartFamily, thread: number, line: number): boolean {
    const pitchMm = of.pitchMm[line];
    if (!(pitchMm > 0)) return false;
    const lineTo = line + 1 < of.lines ? line + 1 : 0;
    if (!of.warp && !(present(thread, line) && present(thread, lineTo))) return false;
    out.of = of;
    out.thread = thread;
    out.from = thread * of.threadStep + line * of.lineStep;
    out.to = thread * of.threadStep + lineTo * of.lineStep;
    out.pitchMm = pitchMm;
    return true;
  }

  function createLooked(): Looked {
    const places = () => new Float64Array(PARTS + 1);
    const nodes = { of: warp, thread: 0, from: 0, to: 0, pitchMm: 0 };
    return { ...nodes, parts: PARTS, heights: places(), offsets: places(), straight: true, wander: 0 };
  }
}

/** 1 at crossings (row, end) of the repeat that are to be looked at, row-major. */
function marked(rows: number, ends: number, where?: Crossings) {
  const out = new Uint8Array(rows * ends);
  if (!where) return out.fill(1);
  for (let row = where.rows.from; row < where.rows.to; row++)
    out.fill(1, row * ends + where.ends.from, row * ends + where.ends.to);
  return out;
}

/** Whether two spans keep further apart sideways at both of their nodes than their sections are wide, with some to spare. */
function passesBy(a: Span, b: Span, apartMm: number): boolean {
  const { offsetMm, widthFactor } = a.of.field;
  const [halfA, halfB] = [a.of.halfWidthMm[a.thread], a.of.halfWidthMm[b.thread]];
  const spare = (k: number, l: number) =>
    apartMm + offsetMm[l] - offsetMm[k] - halfA * widthFactor[k] - halfB * widthFactor[l];
  const least = 0.1 * (halfA + halfB);
  return spare(a.from, b.from) > least && spare(a.to, b.to) > least;
}

/**
 * How many lines before the start of each span, and after its end, hold threads so wide that the span may meet them there.
 * @param reachMm of the threads on the lines, from these
 */
function furtherLines(of: ApartFamily, reachMm: Float64Array) {
  const { lines, pitchMm } = of;
  const before = new Uint8Array(lines);
  const after = new Uint8Array(lines);
  const own = of.halfHeightMm.reduce((most, half) => Math.max(most, half), 0);
  for (let line = 0; line < lines; line++) {
    for (let on = line, at = 0; before[line] < MOST_FURTHER; before[line]++) {
      on = on > 0 ? on - 1 : lines - 1;
      if (!(pitchMm[on] > 0)) break;
      at += pitchMm[on];
      if (at > reachMm[on] + own) break;
    }
    for (let on = line + 1 < lines ? line + 1 : 0, at = 0; after[line] < MOST_FURTHER; after[line]++) {
      if (!(pitchMm[on] > 0)) break;
      at += pitchMm[on];
      on = on + 1 < lines ? on + 1 : 0;
      if (at > reachMm[on] + own) break;
    }
  }
  return { before, after };
}

/** How far each thread reaches from its line at most, mm. */
function furthest({ field, threads, lines, threadStep, lineStep, halfWidthMm }: ApartFamily): Float64Array {
  const out = new Float64Array(threads);
  for (let line = 0; line < lines; line++) {
    for (let thread = 0; thread < threads; thread++) {
      const k = thread * threadStep + line * lineStep;
      out[thread] = Math.max(out[thread], halfWidthMm[thread] * field.widthFactor[k] + Math.abs(field.offsetMm[k]));
    }
  }
  return out;
}
