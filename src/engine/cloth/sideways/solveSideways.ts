import type { CrossingOffsets, HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { createDrives, type Drives, FamilyPushes, fillDrives, fillGrip } from './drives.ts';
import { fillNeeded, type SectionFields, type SideFields, sideFields } from './neighbourRoom.ts';
import { arePaired } from './planPairs.ts';
import { buildPlanSides, type PlanSide, type PlanSides, type PlanThreads } from './planSide.ts';
import { changePenalty, createPlanState, projectPlan, sweepPlan } from './planSplitting.ts';

/** Offsets of both systems at the crossings (row-major) and their slopes along the threads. */
export interface SidewaysSolution extends CrossingOffsets {
  readonly endOffsetSlope: Float64Array;
  readonly rowOffsetSlope: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
}

/**
 * Friction of yarn on yarn as it holds threads in a cloth under the loom. Cotton and wool yarns: 0.25–0.45, silk, viscose
 * and linen 0.18–0.35 (yarn facts); every shed and beat shakes the cloth, so that threads creep as if it were less: the
 * least of these (a judgement).
 */
export const FRICTION = 0.2;

export interface SidewaysOptions {
  /** Where threads lay before; default on their lines. */
  readonly start?: CrossingOffsets;
  /** The problem's threads in plan, where they are known already. */
  readonly sides?: PlanSides;
  readonly frictionCoefficient?: number;
  readonly maxIterations?: number;
  /** Most that an offset may still move by when it is done, over the threads' width. Default 5e-3. */
  readonly tolerance?: number;
  /** Memory kept between solves. */
  readonly scratch?: Scratch;
}

/** Share of a force that is rounding. */
const LEAST_FORCE = 1e-6;
/**
 * Penalties as multiples of the beams' natural stiffness: high finds contacts and pairs, low the threads' own bends, which
 * reach over many spans. They halve every so often; in pairs they may fall further, and sooner, without swinging.
 */
const PENALTIES = {
  apart: { first: 64, last: 16, iterationsEach: 12 },
  paired: { first: 32, last: 1, iterationsEach: 3 },
} as const;
const MOST_ITERATIONS = 240;
const ITERATIONS_PER_LOOK = 6;

/**
 * How far threads move sideways in plan, heights given: least energy of
 *   ½∫B o'' ² + ½∫T o'² of every thread + sideways springs of neighbours that overlap + μN|o| − the crossing threads' push,
 * where the push is what a thread that dives between two others gains as these part (spanPush.ts). Threads that work
 * alike have none between them and are drawn together by their neighbours' pushes: floats bunch, groups part.
 * Friction takes up to μN at each crossing, N the force of its contact. Neighbours touch where their sections, at their
 * heights, overlap; threads of two layers pass over one another.
 *
 * Method: Douglas–Rachford splitting as for the heights, three parts a node; pushes follow the spans as these change.
 * Convex for given heights. Returns null where nothing overcomes friction.
 */
export function* solveSideways(
  problem: HeightsProblem,
  solution: HeightsSolution,
  sections: SectionFields,
  threads: PlanThreads,
  options: SidewaysOptions = {},
): Generator<void, SidewaysSolution | null> {
  const { start } = options;
  const mu = options.frictionCoefficient ?? FRICTION;
  const { warp, weft } = options.sides ?? (yield* buildPlanSides(problem, threads));
  const ofWarp = sideFields(solution, sections, true);
  const ofWeft = sideFields(solution, sections, false);
  const across: Across = { problem, solution, mu, options };
  const endStart = start && fieldOnLevels(warp, start.endOffsetMm);
  const ends = yield* solveSide(
    across,
    warp,
    ofWarp,
    weft,
    ofWeft,
    problem.rowBendingNmm2,
    problem.rowTensionN,
    endStart,
  );
  const rows = yield* solveSide(
    across,
    weft,
    ofWeft,
    warp,
    ofWarp,
    problem.endBendingNmm2,
    problem.endTensionN,
    start?.rowOffsetMm,
  );
  if (!ends && !rows) return null;
  const size = problem.rows * problem.ends;
  const none = new Float64Array(size);
  return {
    endOffsetMm: ends ? onCrossings(warp, ends.offset, size) : none,
    endOffsetSlope: ends ? onCrossings(warp, ends.slope, size) : none,
    rowOffsetMm: rows ? rows.offset : none,
    rowOffsetSlope: rows ? rows.slope : none,
    iterations: Math.max(ends?.iterations ?? 0, rows?.iterations ?? 0),
    converged: (ends?.converged ?? true) && (rows?.converged ?? true),
  };
}

interface Across {
  readonly problem: HeightsProblem;
  readonly solution: HeightsSolution;
  readonly mu: number;
  readonly options: SidewaysOptions;
}

interface SideSolution {
  readonly offset: Float64Array;
  readonly slope: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
}

/** @param bending, tension those of the crossing threads */
function* solveSide(
  { problem, solution, mu, options }: Across,
  side: PlanSide,
  fields: SideFields,
  crossing: PlanSide,
  crossingFields: SideFields,
  bending: Float64Array,
  tension: Float64Array,
  start: Float64Array | undefined,
): Generator<void, SideSolution | null> {
  const size = side.warp ? side.lines * problem.ends : problem.rows * problem.ends;
  const { scratch = new Scratch() } = options;
  const needed = scratch.takeDirty('plan needed', size);
  const drives = createDrives(size, scratch);
  const grip = scratch.takeDirty('plan grip', size);
  fillNeeded(side, fields, needed);
  yield;
  fillGrip(side, solution, mu, grip);
  const pushes = new FamilyPushes(crossing, bending, tension);
  const push = (offset: Float64Array | null) =>
    fillDrives(crossing, pushes, crossingFields.heightMm, crossingFields.slope, side, offset, drives, problem);
  push(start ?? null);
  yield;
  if (!start && isAtRest(side, needed, drives, grip, scratch)) return null;
  const paired = arePaired(side, needed, drives);
  const state = createPlanState(size, side.threads, start, paired, scratch);
  const penalties = paired ? PENALTIES.paired : PENALTIES.apart;
  const tolerance = options.tolerance ?? 5e-3;
  const before = scratch.take('plan before', size);
  const most = options.maxIterations ?? MOST_ITERATIONS;
  let penalty: number = penalties.first;
  let iterations = 0;
  let converged = false;
  let ratio = 1;
  let lastMoved = Infinity;
  while (iterations < most && !converged) {
    if ((iterations + 1) % penalties.iterationsEach === 0 && penalty > penalties.last) {
      changePenalty(state, penalty, penalty / 2);
      penalty /= 2;
    }
    projectPlan(side, state, penalty, needed, drives, grip);
    yield;
    yield* sweepPlan(side, state, penalty);
    iterations++;
    if (iterations % ITERATIONS_PER_LOOK !== 0) continue;
    if (iterations < most) push(state.offset);
    const moved = largestMove(side, state.offset, before);
    before.set(state.offset);
    // What is left to move is the sum of a geometric series; two ratios, since a lucky one would promise too much.
    const now = moved / lastMoved;
    const c = Math.min(0.9, Math.max(0.2, now, ratio));
    converged = iterations > ITERATIONS_PER_LOOK && (moved * c) / (1 - c) < tolerance;
    lastMoved = moved;
    ratio = now;
    yield;
  }
  return { offset: state.offset, slope: state.slope, iterations, converged };
}

/** Whether no push overcomes friction and no neighbours overlap. */
function isAtRest(side: PlanSide, needed: Float64Array, drives: Drives, grip: Float64Array, scratch: Scratch): boolean {
  const { threads, threadStep, alongStep, restMm, first, last } = side;
  const { forceN, other } = drives;
  const net = scratch.take('plan target', forceN.length);
  const size = scratch.take('plan before', forceN.length);
  for (let n = 0; n < other.length; n++) {
    if (other[n] < 0) continue;
    net[n] -= forceN[n];
    net[other[n]] += forceN[n];
    size[n] += Math.abs(forceN[n]);
    size[other[n]] += Math.abs(forceN[n]);
  }
  for (let t = 0; t < threads; t++) {
    for (let k = first[t], n = k * alongStep + t * threadStep; k <= last[t]; k++, n += alongStep) {
      if (needed[n] > restMm[t]) return false;
      if (!side.fixed[t] && Math.abs(net[n]) > grip[n] + LEAST_FORCE * (size[n] + grip[n])) return false;
    }
  }
  return true;
}

/** Largest difference of two fields over the widths of their threads. */
function largestMove(side: PlanSide, a: Float64Array, b: Float64Array): number {
  const { threads, threadStep, alongStep, contactWidthMm } = side;
  let worst = 0;
  for (let t = 0; t < threads; t++) {
    const most = worst * contactWidthMm[t];
    let largest = most;
    for (let k = side.first[t], n = k * alongStep + t * threadStep; k <= side.last[t]; k++, n += alongStep) {
      const moved = Math.abs(a[n] - b[n]);
      if (moved > largest) largest = moved;
    }
    if (largest > most) worst = largest / contactWidthMm[t];
  }
  return worst;
}

function fieldOnLevels(side: PlanSide, field: Float64Array): Float64Array {
  const { solved } = side;
  if (!solved) return field;
  return Float64Array.from(solved, (at) => (at < 0 ? 0 : field[at]));
}

function onCrossings(side: PlanSide, field: Float64Array, size: number): Float64Array {
  const { solved } = side;
  if (!solved) return field;
  const out = new Float64Array(size);
  for (let n = 0; n < solved.length; n++) if (solved[n] >= 0) out[solved[n]] = field[n];
  return out;
}
