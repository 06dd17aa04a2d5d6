import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import type { PlanSide } from './planSide.ts';
import { type Push, SpanPush } from './spanPush.ts';

/** Shortest span that a push is reckoned for, over its rest length. */
const SHORTEST = 0.2;

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

/**
 * Pushes of the crossing threads on one family, per span between a thread and its neighbour by number (the spans of the
 * crossing threads): force apart and its fall, both at the node of the first, about the distance that offsets leave.
 */
export interface Drives {
  readonly forceN: Float64Array;
  readonly fallNPerMm: Float64Array;
  /** Difference of the two offsets that the force is reckoned for. */
  readonly aboutMm: Float64Array;
}

export function createDrives(size: number): Drives {
  return { forceN: new Float64Array(size), fallNPerMm: new Float64Array(size), aboutMm: new Float64Array(size) };
}

const push: Push = { forceN: 0, fallNPerMm: 0 };

/**
 * What the threads of `pushing`, in their spans, push the others apart with: into `drives`, by the other family's nodes.
 * @param offset the other family's present offsets
 */
export function fillDrives(
  pushing: PlanSide,
  pushes: FamilyPushes,
  heightMm: Float64Array,
  slope: Float64Array,
  pushed: PlanSide,
  offset: Float64Array,
  drives: Drives,
  problem: HeightsProblem,
): void {
  const { threads, lines, threadStep, alongStep, first, last, lineMm } = pushing;
  const { forceN, fallNPerMm, aboutMm } = drives;
  forceN.fill(0);
  fallNPerMm.fill(0);
  // Node of the pushed family at (line, thread) of the pushing one.
  const node = pushedNode(pushing, pushed, problem);
  for (let t = 0; t < threads; t++) {
    const ofThread = pushes.at(t);
    const whole = pushing.periodAlongMm > 0 && lines > 1 && first[t] === 0 && last[t] === lines - 1;
    for (let k = first[t]; k < last[t] + (whole ? 1 : 0); k++) {
      const l = k + 1 < lines ? k + 1 : 0;
      const na = k * alongStep + t * threadStep;
      const nb = l * alongStep + t * threadStep;
      const a = pushing.solved ? pushing.solved[na] : na;
      const b = pushing.solved ? pushing.solved[nb] : nb;
      if (a < 0 || b < 0) continue;
      const rest = l > k ? lineMm[l] - lineMm[k] : pushing.periodAlongMm - lineMm[k] + lineMm[l];
      const ma = node ? node[a] : a;
      const about = offset[node ? node[b] : b] - offset[ma];
      const span = Math.max(SHORTEST * rest, rest + about);
      ofThread.at(span, heightMm[a], slope[a], heightMm[b], slope[b], push);
      forceN[ma] = push.forceN;
      fallNPerMm[ma] = push.fallNPerMm;
      aboutMm[ma] = about;
    }
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
