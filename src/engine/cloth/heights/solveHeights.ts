import type { Progress } from '#engine/cloth/clothTypes.ts';
import { sweepFamily } from './beamFamily.ts';
import { checkProblem } from './checkProblem.ts';
import { buildCrossingGrid } from './crossingGrid.ts';
import type { HeightsOptions, HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { assembleSolution } from './solution.ts';
import { type ContactResiduals, createSplittingState, measureResiduals, projectContacts } from './splitting.ts';
import { ChangeMeter, canStartFrom, startFrom, startTouching } from './startState.ts';
import { type NodeSlopes, tiltGaps, tiltGapsAsBefore } from './tiltedGap.ts';
import { wrapThreads } from './wrapThreads.ts';

/** Crossings swept between two reports of progress: about 10 ms of work. */
const WORK_PER_YIELD = 200_000;
/** Between 1 and 2; near 2 was fastest on every weave tried. */
const RELAXATION = 1.9;
/** Penalties as multiples of the beams' natural stiffness: high settles crimp, low settles floats and relief. */
const FIRST_PENALTY = 16;
const FIRST_PENALTY_WARM = 2;
const LAST_PENALTY = 0.5;
/** Factor from one penalty to the next: 16 to 0.5 in ten steps. */
const PENALTY_STEP = 0.5 ** 0.5;
const ITERATIONS_PER_CHECK = 6;
const ITERATIONS_PER_TILT = 6;
/** Where contacts lag behind everything else the penalty rises again, but not without end, or nothing would converge. */
const RAISE = 2;
const MOST_RAISES = 8;
/** Where contacts are long settled and the rest still moves, it falls further, likewise not without end. */
const MOST_LOWERS = 4;
const FALLING = 60;

/** Crossings up to which a preview is settled all the same: it takes a few milliseconds. */
const SETTLED_AT_ONCE = 2000;

const QUALITY = {
  preview: { tolerance: 3e-2, errorTolerance: 2.5e-2, maxIterations: 20, iterationsPerPenalty: 2 },
  settled: { tolerance: 1e-3, errorTolerance: 3e-3, maxIterations: 600, iterationsPerPenalty: 3 },
} as const;

/** Few cloths need more than 120 iterations. */
function report(iteration: number, maxIterations: number): Progress {
  return { stage: 'heights', share: Math.min(0.95, iteration / Math.min(maxIterations, 120)) };
}

/**
 * Heights at which the threads of a cloth lie over and under one another: least bending and tension energy
 *   ½∫B z''² + ½∫T z'² + ½∫e z²  over all threads, with s(w − f) ≥ D at each crossing,
 * s = +1 where the warp w is up over the weft f, D the sum of their half heights, e a weak confinement. Nodes carry
 * height and slope; spans are exact tie-beams at their true lengths. Small slopes; threads stay on their lines in plan.
 * Where threads cross at a slope D grows as straight cylinders need (tiltedGap.ts). Heights count from the mean
 * mid-surface, which is held level (levelHold.ts). Then each segment is wrapped round the sections it crosses.
 *
 * Method: alternating directions (Douglas–Rachford; see splitting.ts). The beams part into independent banded systems
 * with constant matrices, the contacts into pairs with a closed form. Penalties fall along a schedule, follow what lags a
 * bounded number of times and then stay, so that convergence is assured and the solution does not depend on them. Stops when penetration, force
 * imbalance, complementarity and the estimated error of the heights are all within bounds.
 *
 * Errors: RangeError where the problem is not well formed. `residuals.converged` tells whether bounds were met.
 */
export function* solveHeights(
  problem: HeightsProblem,
  options: HeightsOptions = {},
): Generator<Progress, HeightsSolution> {
  checkProblem(problem);
  const preview = options.quality === 'preview' && problem.rows * problem.ends > SETTLED_AT_ONCE;
  const quality = QUALITY[preview ? 'preview' : 'settled'];
  const tolerance = options.tolerance ?? quality.tolerance;
  const errorTolerance = options.errorTolerance ?? quality.errorTolerance;
  const maxIterations = options.maxIterations ?? quality.maxIterations;
  const penaltyScale = options.penaltyScale ?? 1;
  const grid = buildCrossingGrid(problem, options.confinementShare ?? 0.01, options.heldFlat !== false);
  const state = createSplittingState(grid);
  const { start } = options;
  const warm = start !== undefined && canStartFrom(grid, start);
  const first = penaltyScale * (warm ? FIRST_PENALTY_WARM : FIRST_PENALTY);
  if (warm && options.tiltedContacts !== false) tiltGapsAsBefore(problem, grid, start);
  if (warm) startFrom(grid, state, start, first);
  else startTouching(grid, state);
  const meter = new ChangeMeter(state);
  const left: ContactResiduals = { penetration: 0, forceImbalance: 0, complementarity: 0, meanForceN: 0 };
  const slopes: NodeSlopes | null =
    options.tiltedContacts === false
      ? null
      : { warp: new Float64Array(state.warpHeight.length), weft: new Float64Array(state.weftHeight.length) };

  let converged = false;
  let iteration = 0;
  let work = 0;
  let penalty = first;
  let raises = 0;
  let lowers = 0;
  let tiltError = slopes ? Infinity : 0;
  for (;;) {
    let next = penalty;
    if (raises + lowers === 0 && (iteration + 1) % quality.iterationsPerPenalty === 0)
      next = Math.max(penaltyScale * LAST_PENALTY, penalty * PENALTY_STEP);
    iteration++;
    const tilts = slopes !== null && iteration % ITERATIONS_PER_TILT === 0;
    sweepFamily(grid.warp, penalty, state.warpPull, state.warpHeight, tilts ? slopes.warp : null);
    if (grid.crossings > WORK_PER_YIELD) yield report(iteration, maxIterations);
    sweepFamily(grid.weft, penalty, state.weftPull, state.weftHeight, tilts ? slopes.weft : null);
    if (grid.crossings > WORK_PER_YIELD) yield report(iteration, maxIterations);
    if (tilts) tiltError = tiltGaps(problem, grid, slopes);
    const last = iteration >= maxIterations;
    // A cold preview runs its course: it would hardly end sooner for being watched.
    if (last || ((warm || !preview) && iteration % ITERATIONS_PER_CHECK === 0)) {
      measureResiduals(grid, state, penalty, left);
      const error = meter.estimateError(grid, state);
      converged =
        left.penetration <= tolerance &&
        left.forceImbalance <= tolerance &&
        left.complementarity <= tolerance &&
        Math.max(error, tiltError) <= errorTolerance;
      if (converged || last) break;
      const apart = left.penetration / tolerance;
      const lag = Math.max(apart, left.complementarity / tolerance);
      const rest = Math.max(left.forceImbalance / tolerance, error / errorTolerance);
      const low = penalty < penaltyScale * LAST_PENALTY;
      if (raises < MOST_RAISES && ((apart > 2 && apart > 2 * rest) || (low && lag > 2 && lag > 5 * rest))) {
        raises++;
        next = penalty * RAISE;
      } else if (lag < 0.2 && 5 * lag < rest && iteration > FALLING && lowers < MOST_LOWERS) {
        lowers++;
        next = penalty / RAISE;
      }
    }
    projectContacts(grid, state, RELAXATION, penalty, next);
    penalty = next;
    work += grid.crossings;
    if (work >= WORK_PER_YIELD) {
      work = 0;
      yield report(iteration, maxIterations);
    }
  }
  const solution = assembleSolution(problem, grid, state, penalty, {
    iterations: iteration,
    penetration: left.penetration,
    forceImbalance: left.forceImbalance,
    complementarity: left.complementarity,
    converged,
  });
  if (options.withoutWrap) return solution;
  for (const _ of wrapThreads(problem, grid, solution, preview ? 2 : 1)) yield { stage: 'heights', share: 0.98 };
  return solution;
}
