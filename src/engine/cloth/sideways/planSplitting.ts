import { sweepFamily } from '#engine/cloth/heights/beamFamily.ts';
import type { Drives } from './drives.ts';
import type { PlanSide } from './planSide.ts';

/** Between 1 and 2, as for the heights. */
const RELAXATION = 1.6;
/** Parts in which each node is held. */
const PARTS = 5;

/**
 * Iterate of the splitting in plan. Each node is held in parts of equal weight, each with its shadow v and pull
 * t = 2z − v: against the next neighbour and the last one, in the crossing threads' spans to the next thread and from the
 * last one, and in the grip of the thread that crosses it.
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
}

export function createPlanState(size: number, threads: number, start: Float64Array | undefined): PlanState {
  const field = () => (start ? start.slice() : new Float64Array(size));
  return {
    offset: field(),
    slope: new Float64Array(size),
    target: field(),
    shadow: Array.from({ length: PARTS }, field),
    pull: Array.from({ length: PARTS }, field),
    softness: new Float64Array(threads),
  };
}

/** Keeps the forces of all parts where the penalty changes: v = z + u, u in inverse proportion to it. */
export function changePenalty(state: PlanState, from: number, to: number): void {
  const keep = from / to;
  for (let part = 0; part < PARTS; part++) {
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
 * to `grip` (N), a dead band, within the room that the lines beside leave.
 */
export function projectPlan(
  side: PlanSide,
  state: PlanState,
  penalty: number,
  needed: Float64Array,
  drives: Drives,
  grip: Float64Array,
): void {
  const { offset, target, shadow, pull } = state;
  const half = 0.5 * RELAXATION;
  const stay = 1 - half;
  for (let part = 0; part < PARTS; part++) {
    const v = shadow[part];
    const t = pull[part];
    for (let n = 0; n < offset.length; n++) {
      v[n] = stay * v[n] + RELAXATION * offset[n] - half * t[n];
      t[n] = v[n];
    }
  }
  partNeighbours(side, state, penalty, needed);
  partSpans(side, state, penalty, drives);
  const scale = side.family.scale;
  const { threads, threadStep, alongStep, beforeMm, beyondMm } = side;
  const [next, last, spanNext, spanLast, held] = pull;
  for (let t = 0; t < threads; t++) {
    const softness = side.fixed[t] ? 0 : PARTS / (penalty * scale[t]);
    const from = side.first[t] * alongStep + t * threadStep;
    for (let k = side.first[t], n = from; k <= side.last[t]; k++, n += alongStep) {
      const to = held[n];
      const band = grip[n] * softness;
      const slid = to > band ? to - band : to < -band ? to + band : 0;
      const z = Math.max(-beforeMm[t], Math.min(beyondMm[t], slid));
      held[n] = 2 * z - to;
      target[n] = (next[n] + last[n] + spanNext[n] + spanLast[n] + held[n]) / PARTS;
    }
  }
}

function partNeighbours(side: PlanSide, state: PlanState, penalty: number, needed: Float64Array): void {
  const { threads, threadStep, alongStep, restMm, stiffnessN, contactWidthMm, fixed } = side;
  const [toNext, toLast] = state.shadow;
  const [nextPull, lastPull] = state.pull;
  const scale = side.family.scale;
  for (let t = 0; t < threads; t++) {
    const u = side.next[t];
    if (u < 0) continue;
    const softT = fixed[t] ? 0 : PARTS / (penalty * scale[t]);
    const softU = fixed[u] ? 0 : PARTS / (penalty * scale[u]);
    const give = giveOf(contactWidthMm[t], stiffnessN[t]) + giveOf(contactWidthMm[u], stiffnessN[u]);
    const per = 1 / (softT + softU + give);
    const beside = (u - t) * threadStep;
    const to = Math.min(side.last[t], side.last[u]);
    for (let k = Math.max(side.first[t], side.first[u]); k <= to; k++) {
      const n = k * alongStep + t * threadStep;
      const short = needed[n] - restMm[t] - toLast[n + beside] + toNext[n];
      if (!(short > 0) || needed[n] === 0) continue;
      const force = short * per;
      // z = v ∓ softness·force, t = 2z − v
      nextPull[n] = toNext[n] - 2 * softT * force;
      lastPull[n + beside] = toLast[n + beside] + 2 * softU * force;
    }
  }
}

function partSpans(side: PlanSide, state: PlanState, penalty: number, drives: Drives): void {
  const { threads, threadStep, alongStep } = side;
  const { other, leastMm, forceN, fallNPerMm, aboutMm } = drives;
  const [, , toNext, toLast] = state.shadow;
  const [, , nextPull, lastPull] = state.pull;
  const { softness } = state;
  for (let t = 0; t < threads; t++) softness[t] = side.fixed[t] ? 0 : PARTS / (penalty * side.family.scale[t]);
  const perEnd = threadStep === 1;
  for (let t = 0; t < threads; t++) {
    const softT = softness[t];
    for (let k = side.first[t], n = k * alongStep + t * threadStep; k <= side.last[t]; k++, n += alongStep) {
      const m = other[n];
      if (m < 0) continue;
      const softU = softness[perEnd ? m % threads : Math.floor(m / threadStep)];
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

/** How far a thread's side gives under unit force, mm/N. */
export function giveOf(widthMm: number, stiffnessN: number): number {
  return widthMm / stiffnessN;
}
