import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import type { PlanSide } from './planSide.ts';
import { type Push, SpanPush } from './spanPush.ts';

/** Pushes of one family's threads, by stiffness and tension. */
export class FamilyPushes {
  private readonly of: SpanPush[];

  /** @param side the family whose threads push, `bending` their stiffness across the cloth */
  constructor(side: PlanSide, bending: Float64Array, tension: Float64Array) {
    const { lineMm, lines } = side;
    const extent = lineMm[lines - 1] - lineMm[0];
    const pitch = side.periodAlongMm > 0 ? side.periodAlongMm / lines : lines > 1 ? extent / (lines - 1) : 1;
    const known = new Map<string, SpanPush>();
    this.of = Array.from(bending, (B, t) => {
      const key = `${B} ${tension[t]}`;
      let push = known.get(key);
      if (!push) {
        push = new SpanPush(B, tension[t], pitch);
        known.set(key, push);
      }
      return push;
    });
  }

  at(thread: number): SpanPush {
    return this.of[thread];
  }
}

/** Crossings keep their order along a thread: this share of the span between two is left to them. */
const LEAST_SPAN_SHARE = 0.15;

/**
 * Pushes of the crossing threads on one family, span by span: force apart and its fall, both at the node of the span's
 * first crossing, about the distance that offsets leave.
 */
export interface Drives {
  /** Node of the span's other crossing, −1 where there is no span. */
  readonly other: Int32Array;
  /** Least difference of the two offsets that leaves the span its share. */
  readonly leastMm: Float64Array;
  readonly forceN: Float64Array;
  readonly fallNPerMm: Float64Array;
  /** Difference of the two offsets that the force is reckoned for. */
  readonly aboutMm: Float64Array;
  /** Whether `other` and `leastMm` are known: no offset changes them. */
  spansKnown: boolean;
}

export function createDrives(size: number, scratch: Scratch): Drives {
  const field = (name: string) => scratch.takeDirty(`drives ${name}`, size);
  return {
    other: new Int32Array(size).fill(-1),
    leastMm: field('least'),
    forceN: field('force'),
    fallNPerMm: field('fall'),
    aboutMm: field('about'),
    spansKnown: false,
  };
}

/**
 * Least span in which a thread changes side, over half its height and half the width of what it crosses: a centre line that is a
 * height over its line in plan cannot climb more steeply round both sections (Peirce's jam of square cloth is at 0.87, upright).
 */
const PASSING = 1.3;

function isUp({ drawdown, ends }: HeightsProblem, crossing: number): boolean {
  return isWarpUp(drawdown, Math.floor(crossing / ends), crossing % ends);
}

const push: Push = { forceN: 0, fallNPerMm: 0 };

/**
 * What the threads of `pushing`, in their spans, push the others apart with: into `drives`, by the other family's nodes.
 * @param offset the other family's present offsets; null where all lie on their lines
 */
export function fillDrives(
  pushing: PlanSide,
  pushes: FamilyPushes,
  heightMm: Float64Array,
  slope: Float64Array,
  pushed: PlanSide,
  offset: Float64Array | null,
  drives: Drives,
  problem: HeightsProblem,
): void {
  const { threads, lines, threadStep, alongStep, first, last, lineMm } = pushing;
  const { other, leastMm, forceN, fallNPerMm, aboutMm } = drives;
  const { solved } = pushing;
  const { spansKnown } = drives;
  // Node of the pushed family at (line, thread) of the pushing one.
  const node = pushedNode(pushing, pushed, problem);
  const cross = (t: number, k: number, l: number, rest: number) => {
    const na = k * alongStep + t * threadStep;
    const nb = l * alongStep + t * threadStep;
    const a = solved ? solved[na] : na;
    const b = solved ? solved[nb] : nb;
    const ma = node ? node[a] : a;
    const mb = node ? node[b] : b;
    const about = offset ? offset[mb] - offset[ma] : 0;
    const span = Math.max(LEAST_SPAN_SHARE * rest, rest + about);
    pushes.at(t).at(span, heightMm, slope, a, b, push);
    forceN[ma] = push.forceN;
    fallNPerMm[ma] = push.fallNPerMm;
    aboutMm[ma] = about;
    if (spansKnown) return;
    other[ma] = mb;
    const passes = !solved && isUp(problem, a) !== isUp(problem, b);
    const need = passes
      ? PASSING * (pushing.halfHeightMm[t] + (pushed.contactWidthMm[k] + pushed.contactWidthMm[l]) / 4)
      : 0;
    leastMm[ma] = Math.max((LEAST_SPAN_SHARE - 1) * rest, Math.min(0, need - rest));
  };
  const before = new Int32Array(threads).fill(-1);
  const start = new Int32Array(threads).fill(-1);
  const visit = (t: number, k: number) => {
    // A line that crosses nothing here (rows that do not run right across) only lengthens the span.
    if (solved && solved[k * alongStep + t * threadStep] < 0) return;
    if (before[t] >= 0) cross(t, before[t], k, lineMm[k] - lineMm[before[t]]);
    else start[t] = k;
    before[t] = k;
  };
  if (pushing.warp) for (let k = 0; k < lines; k++) for (let t = 0; t < threads; t++) visit(t, k);
  else for (let t = 0; t < threads; t++) for (let k = first[t]; k <= last[t]; k++) visit(t, k);
  drives.spansKnown = true;
  if (pushing.periodAlongMm === 0 || lines < 2) return;
  for (let t = 0; t < threads; t++) {
    if (first[t] > 0 || last[t] < lines - 1 || before[t] === start[t]) continue;
    cross(t, before[t], start[t], pushing.periodAlongMm - lineMm[before[t]] + lineMm[start[t]]);
  }
}

/** From an index over rows and ends to the pushed family's field; null where they are one. */
function pushedNode(pushing: PlanSide, pushed: PlanSide, problem: HeightsProblem): Int32Array | null {
  const solved = pushed.solved ?? pushing.solved;
  if (!pushed.warp || !solved) return null;
  const nodeOf = new Int32Array(problem.rows * problem.ends);
  for (let n = 0; n < solved.length; n++) if (solved[n] >= 0) nodeOf[solved[n]] = n;
  return nodeOf;
}

/** Friction that holds each node of a family, N: μ times the force with which its crossing presses. */
export function fillGrip(side: PlanSide, solution: HeightsSolution, mu: number, grip: Float64Array): void {
  const { contactForceN } = solution;
  for (let n = 0; n < grip.length; n++) {
    const at = side.solved ? side.solved[n] : n;
    grip[n] = at < 0 ? 0 : mu * contactForceN[at];
  }
}
