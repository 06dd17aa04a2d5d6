import { sweepFamily } from '#engine/cloth/heights/beamFamily.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import type { Drives } from './drives.ts';
import { giveBeside, projectPairs } from './planPairs.ts';
import type { PlanSide } from './planSide.ts';

/** Between 1 and 2, as for the heights. */
export const RELAXATION = 1.6;
/** Parts in which each node is held, and where each thread's neighbour is also where the spans lead. */
const PARTS = 5;
const PAIRED_PARTS = 3;

/**
 * Iterate of the splitting in plan. Each node is held in parts of equal weight, each with its shadow v and pull
 * t = 2z − v: against the next neighbour and the last one, in the crossing threads' spans to the next thread and from the
 * last one, and in the grip of the thread that crosses it. Where spans lead from neighbour to neighbour a pair's two
 * forces are one part (planPairs.ts): next, last and grip.
 */
export interface PlanState {
  readonly offset: Float64Array;
  readonly slope: Float64Array;
  /** Mean of the parts' pulls: what the beams are drawn towards. */
  readonly target: Float64Array;
  readonly shadow: readonly Float64Array[];
  readonly pull: readonly Float64Array[];
  /** Per thread: how far unit force moves one of its parts, mm/N. */
  readonly softness: Float64Array;
  readonly paired: boolean;
}

export function createPlanState(
  size: number,
  threads: number,
  start: Float64Array | undefined,
  paired: boolean,
  scratch: Scratch,
): PlanState {
  const parts = Array.from({ length: paired ? PAIRED_PARTS : PARTS }, (_, part) => part);
  const field = (name: string) => {
    if (!start) return scratch.take(`plan ${name}`, size);
    const array = scratch.takeDirty(`plan ${name}`, size);
    array.set(start);
    return array;
  };
  return {
    offset: start ? start.slice() : new Float64Array(size),
    slope: new Float64Array(size),
    target: field('target'),
    shadow: parts.map((part) => field(`shadow ${part}`)),
    pull: parts.map((part) => field(`pull ${part}`)),
    softness: new Float64Array(threads),
    paired,
  };
}

/** Keeps the forces of all parts where the penalty changes: v = z + u, u in inverse proportion to it. */
export function changePenalty(state: PlanState, from: number, to: number): void {
  const keep = from / to;
  for (let part = 0; part < state.shadow.length; part++) {
    const v = state.shadow[part];
    const t = state.pull[part];
    for (let n = 0; n < v.length; n++) {
      const z = 0.5 * (v[n] + t[n]);
      const u = 0.5 * keep * (v[n] - t[n]);
      v[n] = z + u;
      t[n] = z - u;
    }
  }
}

/** Beams towards their targets; threads that stay are put back to their lines. */
export function* sweepPlan(side: PlanSide, state: PlanState, penalty: number): Generator<void, void> {
  yield* sweepFamily(side.family, penalty, state.target, state.offset, state.slope);
  const { threads, lines, alongStep, threadStep } = side;
  for (let t = 0; t < threads; t++) {
    if (side.fixed[t] === 0) continue;
    for (let k = 0, n = t * threadStep; k < lines; k++, n += alongStep) state.offset[n] = state.slope[n] = 0;
  }
}

/**
 * One step of the parts, by Douglas–Rachford (see heights/splitting.ts): v ← v + α(w − z), z = prox(v), t = 2z − v.
 * Neighbours: a spring of the sections' sideways stiffness where they are nearer than `needed`. Spans: the crossing
 * threads' push, linear about where it was last reckoned. Both in closed form for the pair. Grip: friction that takes up
 * to `grip` (N), a dead band, within the room that the lines beside leave. Passes go through memory in order.
 */
export function projectPlan(
  side: PlanSide,
  state: PlanState,
  penalty: number,
  needed: Float64Array,
  drives: Drives,
  grip: Float64Array,
): void {
  const { softness } = state;
  const { threads, family, fixed } = side;
  const parts = state.shadow.length;
  for (let t = 0; t < threads; t++) softness[t] = fixed[t] ? 0 : parts / (penalty * family.scale[t]);
  if (state.paired) {
    projectPairs(side, state, needed, drives, grip);
    return;
  }
  relaxParts(state);
  partNeighbours(side, state, needed);
  partSpans(side, state, drives);
  holdNodes(side, state, grip);
}

function relaxParts({ offset, shadow, pull }: PlanState): void {
  const half = 0.5 * RELAXATION;
  const stay = 1 - half;
  const [v0, v1, v2, v3, v4] = shadow;
  const [t0, t1, t2, t3, t4] = pull;
  for (let n = 0; n < offset.length; n++) {
    const w = RELAXATION * offset[n];
    t0[n] = v0[n] = stay * v0[n] + w - half * t0[n];
    t1[n] = v1[n] = stay * v1[n] + w - half * t1[n];
    t2[n] = v2[n] = stay * v2[n] + w - half * t2[n];
    t3[n] = v3[n] = stay * v3[n] + w - half * t3[n];
    t4[n] = v4[n] = stay * v4[n] + w - half * t4[n];
  }
}

function partNeighbours(side: PlanSide, state: PlanState, needed: Float64Array): void {
  const { warp, next, restMm, threadStep, threads } = side;
  const { softness } = state;
  const [toNext, toLast] = state.shadow;
  const [nextPull, lastPull] = state.pull;
  // Of the spring between each thread and its next neighbour: what unit shortness presses with, and where it lies.
  const per = new Float64Array(threads);
  for (let t = 0; t < threads; t++) {
    const u = next[t];
    if (u < 0) continue;
    per[t] = 1 / (softness[t] + softness[u] + giveBeside(side, t, u));
  }
  const across = warp ? threads : side.lines;
  const along = warp ? side.lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      // A node without a neighbour needs no room.
      const room = needed[n];
      if (room === 0) continue;
      const t = warp ? c : r;
      const u = next[t];
      const m = n + (u - t) * threadStep;
      const short = room - restMm[t] - toLast[m] + toNext[n];
      if (short <= 0) continue;
      const force = short * per[t];
      // z = v ∓ softness·force, t = 2z − v
      nextPull[n] = toNext[n] - 2 * softness[t] * force;
      lastPull[m] = toLast[m] + 2 * softness[u] * force;
    }
  }
}

function partSpans(side: PlanSide, state: PlanState, drives: Drives): void {
  const { warp, threads, threadStep } = side;
  const { other, leastMm, forceN, fallNPerMm, aboutMm } = drives;
  const { softness } = state;
  const [, , toNext, toLast] = state.shadow;
  const [, , nextPull, lastPull] = state.pull;
  const across = warp ? threads : side.lines;
  const along = warp ? side.lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      const m = other[n];
      if (m < 0) continue;
      const t = warp ? c : r;
      const softT = softness[t];
      const softU = softness[warp ? t + m - n : (m - c) / threadStep];
      const both = softT + softU;
      const fall = fallNPerMm[n];
      const now = toLast[m] - toNext[n];
      let force = (forceN[n] - fall * (now - aboutMm[n])) / (1 + fall * both);
      if (now + both * force < leastMm[n] && both > 0) force = (leastMm[n] - now) / both;
      nextPull[n] = toNext[n] - 2 * softT * force;
      lastPull[m] = toLast[m] + 2 * softU * force;
    }
  }
}

function holdNodes(side: PlanSide, state: PlanState, grip: Float64Array): void {
  const { warp, threads, beforeMm, beyondMm } = side;
  const { softness, target } = state;
  const [next, last, spanNext, spanLast, held] = state.pull;
  const across = warp ? threads : side.lines;
  const along = warp ? side.lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      const t = warp ? c : r;
      const to = held[n];
      const band = grip[n] * softness[t];
      const slid = to > band ? to - band : to < -band ? to + band : 0;
      const z = slid < -beforeMm[t] ? -beforeMm[t] : Math.min(slid, beyondMm[t]);
      held[n] = 2 * z - to;
      target[n] = (next[n] + last[n] + spanNext[n] + spanLast[n] + held[n]) / PARTS;
    }
  }
}
