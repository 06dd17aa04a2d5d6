import type { Drives } from './drives.ts';
import type { PlanSide } from './planSide.ts';
import { type PlanState, RELAXATION } from './planSplitting.ts';

/** How far the sides of two neighbours give together under unit force, mm/N. */
export function giveBeside({ contactWidthMm, stiffnessN }: PlanSide, t: number, u: number): number {
  return contactWidthMm[t] / stiffnessN[t] + contactWidthMm[u] / stiffnessN[u];
}

/**
 * Whether the crossing threads' spans lead from each thread to its neighbour wherever they push or the two may touch: so in
 * cloth of one layer, where threads that lie beside one another are those that a crossing thread meets in turn.
 */
export function arePaired(side: PlanSide, needed: Float64Array, { other }: Drives): boolean {
  const { warp, next, threadStep, threads, lines } = side;
  const across = warp ? threads : lines;
  const along = warp ? lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      const t = warp ? c : r;
      const beside = next[t] < 0 ? -1 : n + (next[t] - t) * threadStep;
      if (other[n] < 0 ? needed[n] > 0 : other[n] !== beside) return false;
    }
  }
  return true;
}

/**
 * One step of the parts (see projectPlan) where neighbours' contact and the push of the span between them act on the same
 * pair: both in one closed form, piecewise linear in the pair's distance. Three parts in place of five, so that each is
 * held with more weight and half as many steps come as far.
 */
export function projectPairs(
  side: PlanSide,
  state: PlanState,
  needed: Float64Array,
  drives: Drives,
  grip: Float64Array,
): void {
  partPairs(side, state, needed, drives);
  holdNodes(side, state, grip);
}

function partPairs(side: PlanSide, state: PlanState, needed: Float64Array, drives: Drives): void {
  const { warp, threads, lines, threadStep, next, restMm } = side;
  const { other, forceN, fallNPerMm, aboutMm, leastMm } = drives;
  const { softness, offset } = state;
  const [toNext, toLast] = state.shadow;
  const [nextPull, lastPull] = state.pull;
  const half = 0.5 * RELAXATION;
  const stay = 1 - half;
  const gives = new Float64Array(threads);
  const hasLast = new Uint8Array(threads);
  for (let t = 0; t < threads; t++) {
    const u = next[t];
    if (u < 0) continue;
    hasLast[u] = 1;
    gives[t] = giveBeside(side, t, u);
  }
  const across = warp ? threads : lines;
  const along = warp ? lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      const t = warp ? c : r;
      const v = stay * toNext[n] + RELAXATION * offset[n] - half * nextPull[n];
      toNext[n] = v;
      // Parts that no pair holds are free: their pull is their shadow.
      if (hasLast[t] === 0) lastPull[n] = toLast[n] = stay * toLast[n] + RELAXATION * offset[n] - half * lastPull[n];
      const u = next[t];
      if (u < 0) {
        nextPull[n] = v;
        continue;
      }
      const m = n + (u - t) * threadStep;
      const vOther = stay * toLast[m] + RELAXATION * offset[m] - half * lastPull[m];
      toLast[m] = vOther;
      if (other[n] < 0) {
        nextPull[n] = v;
        lastPull[m] = vOther;
        continue;
      }
      const softT = softness[t];
      const softU = softness[u];
      const both = softT + softU;
      const fall = fallNPerMm[n];
      const now = vOther - v;
      const push = forceN[n] - fall * (now - aboutMm[n]);
      let force = push / (1 + fall * both);
      const room = needed[n];
      const short = room - restMm[t] - now;
      // Pushed no further apart than they need, they press on one another too.
      if (room > 0 && short > both * force) {
        const give = gives[t];
        force = (give * push + short) / (give * (1 + fall * both) + both);
      }
      if (now + both * force < leastMm[n] && both > 0) force = (leastMm[n] - now) / both;
      nextPull[n] = v - 2 * softT * force;
      lastPull[m] = vOther + 2 * softU * force;
    }
  }
}

function holdNodes(side: PlanSide, state: PlanState, grip: Float64Array): void {
  const { warp, threads, lines, beforeMm, beyondMm } = side;
  const { softness, target, offset, shadow, pull } = state;
  const [next, last, held] = pull;
  const heldShadow = shadow[2];
  const half = 0.5 * RELAXATION;
  const stay = 1 - half;
  const across = warp ? threads : lines;
  const along = warp ? lines : threads;
  for (let r = 0, n = 0; r < along; r++) {
    for (let c = 0; c < across; c++, n++) {
      const t = warp ? c : r;
      const v = stay * heldShadow[n] + RELAXATION * offset[n] - half * held[n];
      heldShadow[n] = v;
      const band = grip[n] * softness[t];
      const slid = v > band ? v - band : v < -band ? v + band : 0;
      const z = slid < -beforeMm[t] ? -beforeMm[t] : Math.min(slid, beyondMm[t]);
      held[n] = 2 * z - v;
      target[n] = (next[n] + last[n] + held[n]) / 3;
    }
  }
}
