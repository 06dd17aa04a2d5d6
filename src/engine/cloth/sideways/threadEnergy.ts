import { LEAST_SPAN_SHARE } from '#engine/cloth/heights/beamFamily.ts';
import { borderShare } from '#engine/cloth/heights/borderShare.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { CONFINEMENT } from '#engine/cloth/heights/solveHeights.ts';
import { type SpanStiffness, spanStiffness } from '#engine/cloth/heights/tieBeam.ts';
import { tiltedSum } from '#engine/cloth/heights/tiltedGap.ts';
import { crushedHeightMm } from '#engine/yarn/compression.ts';
import { fillNeeded, type SectionFields, sideFields } from './neighbourRoom.ts';
import { giveBeside } from './planPairs.ts';
import { PLAN_CONFINEMENT, type PlanSide, type PlanSides, type PlanThreads } from './planSide.ts';
import type { SidewaysSolution } from './solveSideways.ts';

/** Energy of the threads of a region, N mm. */
export interface ThreadEnergy {
  /** Bending and tension of all threads out of plan, over spans as crossings have moved, confinement included. */
  readonly heights: number;
  /** The same within the plan. */
  readonly plan: number;
  /** Sections pressed at crossings: ∫F dD, and from their sides. */
  readonly crush: number;
  readonly beside: number;
  /** Work against friction from the lines on which threads were laid, Σ μN|o|. */
  readonly friction: number;
}

/** Gauss–Legendre, 4 points on 0..1 (nodes, weights). */
const GAUSS = [
  [0.0694318442029737, 0.1739274225687269],
  [0.3300094782075719, 0.3260725774312731],
  [0.6699905217924281, 0.3260725774312731],
  [0.9305681557970263, 0.1739274225687269],
] as const;

const span: SpanStiffness = { shear: 0, cross: 0, near: 0, far: 0 };

/** Least energy of a tie-beam's span with given heights and slopes of its ends. */
function spanEnergy(p: number, B: number, T: number, z0: number, s0: number, z1: number, s1: number): number {
  spanStiffness(p, B, T, span);
  const rise = z1 - z0;
  return (
    0.5 * span.shear * rise * rise -
    span.cross * rise * (s0 + s1) +
    0.5 * span.near * (s0 * s0 + s1 * s1) +
    span.far * s0 * s1
  );
}

interface Field {
  readonly height: ArrayLike<number>;
  readonly slope: ArrayLike<number>;
  readonly bending: Float64Array;
  readonly tension: Float64Array;
  /** How far its crossings lie beyond their lines, along the thread. */
  readonly shift: Float64Array | null;
  readonly confinement: number;
}

/** Energy of one family's beams. Border threads of a reflected cloth count half. */
function beams(problem: HeightsProblem, warp: boolean, of: Field): number {
  const { rows, ends, rowFirst, rowLast, boundary, rowYMm, endXMm } = problem;
  const periodic = boundary === 'periodic';
  const threads = warp ? ends : rows;
  const lines = warp ? rows : ends;
  const place = warp ? rowYMm : endXMm;
  const period = (warp ? problem.periodYMm : problem.periodXMm) ?? 0;
  const pitch = lines > 1 ? (periodic ? period / lines : (place[lines - 1] - place[0]) / (lines - 1)) : 1;
  const there = (t: number, k: number) =>
    warp ? t >= rowFirst[k] && t <= rowLast[k] : k >= rowFirst[t] && k <= rowLast[t];
  const node = (t: number, k: number) => (warp ? k * ends + t : t * ends + k);
  let sum = 0;
  for (let t = 0; t < threads; t++) {
    const [B, T] = [of.bending[t], of.tension[t]];
    const bed = of.confinement * (B / pitch ** 4 + T / (12 * pitch * pitch));
    let energy = 0;
    let first = -1;
    let before = -1;
    const add = (k: number, l: number, restMm: number) => {
      const [a, b] = [node(t, k), node(t, l)];
      const moved = of.shift ? of.shift[b] - of.shift[a] : 0;
      const p = Math.max(LEAST_SPAN_SHARE * restMm, restMm + moved);
      energy += spanEnergy(p, B, T, of.height[a], of.slope[a], of.height[b], of.slope[b]);
      energy += 0.25 * bed * p * (of.height[a] ** 2 + of.height[b] ** 2);
    };
    for (let k = 0; k < lines; k++) {
      if (!there(t, k)) continue;
      if (before >= 0) {
        const restMm = place[k] - place[before];
        // Rows side by side in one shed are one place of the warp.
        if (restMm <= 0) continue;
        add(before, k, restMm);
      } else first = k;
      before = k;
    }
    if (periodic && first === 0 && before > first) add(before, first, period - place[before] + place[first]);
    sum += borderShare(boundary, t, threads) * energy;
  }
  return sum;
}

/** Work stored in crossings' sections, ∫₀ᶠ D(F') dF' − F D(F), D the height between centre lines at the crossing's own slopes. */
function crushed(problem: HeightsProblem, solution: HeightsSolution): number {
  const { rows, ends, rowFirst, rowLast, boundary, endCrush, rowCrush } = problem;
  if (!endCrush || !rowCrush) return 0;
  const { warpSlope, weftSlope, contactForceN } = solution;
  let sum = 0;
  for (let j = 0; j < rows; j++) {
    const ofRow = borderShare(boundary, j, rows);
    for (let i = rowFirst[j]; i <= rowLast[j]; i++) {
      const at = j * ends + i;
      const force = contactForceN[at];
      if (!(force > 0)) continue;
      const [s, t] = [warpSlope[at], weftSlope[at]];
      const gap = (F: number) =>
        tiltedSum(problem, j, i, crushedHeightMm(endCrush[i], F) / 2, crushedHeightMm(rowCrush[j], F) / 2, s, t);
      const last = gap(force);
      let work = 0;
      // F' = F u², since sections give most at the first touch.
      for (const [u, weight] of GAUSS) work += weight * 2 * u * (gap(force * u * u) - last);
      sum += ofRow * borderShare(boundary, i, ends) * force * work;
    }
  }
  return sum;
}

function besides(
  boundary: HeightsProblem['boundary'],
  side: PlanSide,
  needed: Float64Array,
  offset: Float64Array | null,
): number {
  const { threads, lines, next, restMm, threadStep, alongStep, first, last } = side;
  let sum = 0;
  for (let t = 0; t < threads; t++) {
    const u = next[t];
    if (u < 0) continue;
    const per = 1 / giveBeside(side, t, u);
    for (let k = first[t]; k <= last[t]; k++) {
      const n = k * alongStep + t * threadStep;
      if (needed[n] === 0) continue;
      const m = k * alongStep + u * threadStep;
      const moved = offset ? at(side, offset, m) - at(side, offset, n) : 0;
      const short = needed[n] - restMm[t] - moved;
      if (short > 0) sum += 0.5 * borderShare(boundary, k, lines) * per * short * short;
    }
  }
  return sum;
}

function at(side: PlanSide, offset: Float64Array, node: number): number {
  const crossing = side.solved ? side.solved[node] : node;
  return crossing < 0 ? 0 : offset[crossing];
}

/**
 * What heights and offsets in turn lower: energy of a region's threads where they lie.
 * Small slopes, as the solvers have it; the wrap, which is drawn after them, has none of its own.
 */
export function threadEnergy(
  problem: HeightsProblem,
  solution: HeightsSolution,
  sections: SectionFields,
  threads: PlanThreads,
  sides: PlanSides,
  sideways: SidewaysSolution | null,
  frictionCoefficient: number,
): ThreadEnergy {
  const { rows, ends, boundary } = problem;
  const warp = {
    height: solution.warpHeightMm,
    slope: solution.warpSlope,
    bending: problem.endBendingNmm2,
    tension: problem.endTensionN,
    shift: sideways?.rowOffsetMm ?? null,
    confinement: CONFINEMENT,
  };
  const weft = {
    height: solution.weftHeightMm,
    slope: solution.weftSlope,
    bending: problem.rowBendingNmm2,
    tension: problem.rowTensionN,
    shift: sideways?.endOffsetMm ?? null,
    confinement: CONFINEMENT,
  };
  const heights = beams(problem, true, warp) + beams(problem, false, weft);
  const inPlan = { shift: null, confinement: PLAN_CONFINEMENT };
  const plan = sideways
    ? beams(problem, true, {
        ...warp,
        ...inPlan,
        bending: threads.endBendingNmm2,
        height: sideways.endOffsetMm,
        slope: sideways.endOffsetSlope,
      }) +
      beams(problem, false, {
        ...weft,
        ...inPlan,
        bending: threads.rowBendingNmm2,
        height: sideways.rowOffsetMm,
        slope: sideways.rowOffsetSlope,
      })
    : 0;
  let beside = 0;
  for (const side of [sides.warp, sides.weft]) {
    const needed = new Float64Array(side.warp ? side.lines * ends : rows * ends);
    fillNeeded(side, sideFields(solution, sections, side.warp), needed);
    beside += besides(boundary, side, needed, sideways && (side.warp ? sideways.endOffsetMm : sideways.rowOffsetMm));
  }
  let friction = 0;
  if (sideways) {
    const { endOffsetMm, rowOffsetMm } = sideways;
    for (let j = 0, n = 0; j < rows; j++) {
      const ofRow = borderShare(boundary, j, rows);
      for (let i = 0; i < ends; i++, n++)
        friction +=
          ofRow *
          borderShare(boundary, i, ends) *
          frictionCoefficient *
          solution.contactForceN[n] *
          (Math.abs(endOffsetMm[n]) + Math.abs(rowOffsetMm[n]));
    }
  }
  return { heights, plan, crush: crushed(problem, solution), beside, friction };
}

/** Sum of {@link threadEnergy}'s parts, N mm. */
export function totalEnergyNmm(...of: Parameters<typeof threadEnergy>): number {
  const { heights, plan, crush, beside, friction } = threadEnergy(...of);
  return heights + plan + crush + beside + friction;
}
