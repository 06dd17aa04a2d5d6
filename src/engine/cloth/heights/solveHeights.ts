import type { Progress } from '#engine/cloth/clothTypes.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { sweepFamily } from './beamFamily.ts';
import { ChangeMeter, Watch } from './changeMeter.ts';
import { checkProblem } from './checkProblem.ts';
import { type ContactResiduals, measureResiduals } from './contactResiduals.ts';
import { buildCrossingGrid } from './crossingGrid.ts';
import { Extrapolation } from './extrapolation.ts';
import type { CrossingOffsets, HeightsOptions, HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { findLikeContacts, isPile } from './likeContacts.ts';
import { CROSSING_SHARE, createLikeState, likeShadows, measureLike, projectLike } from './likeProjection.ts';
import { heightsOnLines } from './onLines.ts';
import { Penalties } from './penalties.ts';
import { assembleSolution } from './solution.ts';
import { createSplittingState, projectContacts, shadowsOf } from './splitting.ts';
import { startFrom, startTouching, turnedSince } from './startState.ts';
import { type NodeSlopes, tiltGaps, tiltGapsAsBefore } from './tiltedGap.ts';
import { wrapThreads } from './wrapThreads.ts';

/** Between 1 and 2; near 2 was fastest on every weave tried. */
const RELAXATION = 1.9;
const ITERATIONS_PER_CHECK = 6;
const ITERATIONS_PER_TILT = 6;
/** After so many iterations sections give half as much at a time: some stand stiffer than their threads in plain weave. */
const CAUTIOUS = 300;

/** Crossings up to which a preview is settled all the same: it takes a few milliseconds. */
const SETTLED_AT_ONCE = 2000;

/**
 * From there on a repeat's last steps are extrapolated, where they tell what is left; beyond so many crossings remembering
 * them takes too much memory. Pictures without a repeat hardly gain.
 */
const EXTRAPOLATED_AFTER = { pile: 24, other: 30 };
const MOST_EXTRAPOLATED = 20_000;

const QUALITY = {
  preview: { tolerance: 3e-2, errorTolerance: 2.5e-2, maxIterations: 20, iterationsPerPenalty: 2 },
  settled: { tolerance: 1e-3, errorTolerance: 3e-3, maxIterations: 600, iterationsPerPenalty: 3 },
} as const;

/** A preview is looked at every so often and ends once few heights still move by a small share of D. */
const ITERATIONS_PER_LOOK = 2;
const STILL_SHARE = 0.01;
const FEW_MOVING = 0.05;
/** Where crossings have turned; these few would hardly be noticed among those watched. */
const LEAST_TURNED_ITERATIONS = 10;

/** Confinement of heights over the threads' own stiffness (see HeightsOptions). */
export const CONFINEMENT = 0.01;

const NO_SLOPES: { warp: null; weft: null } = { warp: null, weft: null };

/** Few cloths need more than 120 iterations. */
function report(iteration: number, maxIterations: number): Progress {
  return { stage: 'heights', share: Math.min(0.95, iteration / Math.min(maxIterations, 120)) };
}

/**
 * Heights at which the threads of a cloth lie over and under one another: least bending and tension energy
 *   ½∫B z''² + ½∫T z'² + ½∫e z²  over all threads, with s(w − f) ≥ D at each crossing,
 * s = +1 where the warp w is up over the weft f, D the sum of their half heights, e a weak confinement; and likewise
 * between like threads that lie over one another with none between them (likeContacts.ts). Nodes carry
 * height and slope; spans are exact tie-beams at their true lengths. Small slopes; threads stay on their lines in plan.
 * Where threads cross at a slope D grows as straight cylinders need, and it falls with the force where sections give
 * (tiltedGap.ts). Heights count from the mean
 * mid-surface, which is held level (levelHold.ts). Then each segment is wrapped round the sections it crosses.
 *
 * Method: alternating directions (Douglas–Rachford; see splitting.ts). The beams part into independent banded systems
 * with constant matrices, the contacts into pairs with a closed form. Penalties follow a schedule and what lags (penalties.ts). Stops when penetration, force
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
  const tilted = options.tiltedContacts !== false;
  const { start, scratch = new Scratch() } = options;
  const { rows, ends } = problem;
  let progress = report(0, maxIterations);
  const building = buildCrossingGrid(
    problem,
    options.confinementShare ?? CONFINEMENT,
    options.heldFlat !== false,
    scratch,
  );
  const grid = yield* paused(building, progress);
  const state = yield* paused(createSplittingState(grid, scratch), progress);
  yield progress;
  const turned = start ? turnedSince(grid, start) : Infinity;
  const warm = start !== undefined && turned < Infinity;
  const repeats = problem.boundary === 'periodic' && !preview && rows * ends <= MOST_EXTRAPOLATED;
  const contacts = findLikeContacts(problem);
  const piled = repeats && !warm && contacts !== null && isPile(contacts);
  const penalties = new Penalties({
    preview,
    warm,
    turned: turned > 0,
    piled,
    scale: options.penaltyScale ?? 1,
    iterationsPerPenalty: quality.iterationsPerPenalty,
    tolerance,
    errorTolerance,
  });
  const fits = tilted || grid.crush !== null;
  if (warm && fits)
    yield* paused(
      inBands(rows, ends, (from, to) => tiltGapsAsBefore(problem, grid, start, tilted, from, to)),
      progress,
    );
  // What the crossings have of each node's weight (see likeProjection.ts).
  const share = contacts ? CROSSING_SHARE : 1;
  yield* paused(warm ? startFrom(grid, state, start, share * penalties.now) : startTouching(grid, state), progress);
  const like =
    contacts && createLikeState(contacts, grid, state, penalties.now, warm ? start.likeForceN : undefined, scratch);
  const targets = { warp: like ? like.warp.target : state.warpPull, weft: like ? like.weft.target : state.weftPull };
  function* measure(): Generator<void, void> {
    yield* measureResiduals(grid, state, share * penalties.now, left);
    if (like) measureLike(state, like, penalties.now, left);
  }
  const meter = preview ? null : new ChangeMeter(state, scratch);
  const watch = preview ? new Watch(grid) : null;
  const left: ContactResiduals = { penetration: 0, forceImbalance: 0, complementarity: 0, meanForceN: 0 };
  const slopes: NodeSlopes = {
    warp: scratch.take('warpSlopes', state.warpHeight.length),
    weft: scratch.take('weftSlopes', state.weftHeight.length),
  };

  let extrapolation: Extrapolation | null = null;
  let converged = false;
  let iteration = 0;
  let tiltError = fits ? Infinity : 0;
  for (;;) {
    iteration++;
    const penalty = penalties.now;
    let next = penalties.scheduled(iteration, extrapolation?.tells ?? true);
    progress = report(iteration, maxIterations);
    const last = iteration >= maxIterations;
    const looks = last || iteration % (preview ? ITERATIONS_PER_LOOK : ITERATIONS_PER_CHECK) === 0;
    const tilts = fits && iteration % ITERATIONS_PER_TILT === 0;
    const { warp, weft } = looks || tilts ? slopes : NO_SLOPES;
    yield* paused(sweepFamily(grid.warp, penalty, targets.warp, state.warpHeight, warp), progress);
    yield* paused(sweepFamily(grid.weft, penalty, targets.weft, state.weftHeight, weft), progress);
    if (tilts) {
      tiltError = 0;
      const caution = 1 / (1 + iteration / CAUTIOUS);
      const tilting = inBands(rows, ends, (from, to) => {
        tiltError = Math.max(
          tiltError,
          tiltGaps(problem, grid, state, tilted ? slopes : null, share * penalty, caution, from, to),
        );
      });
      yield* paused(tilting, progress);
    }
    if (watch && looks) {
      const few = watch.shareMoved(grid, state, STILL_SHARE) <= FEW_MOVING;
      const still = few && (turned === 0 || iteration >= LEAST_TURNED_ITERATIONS);
      if (still || last) {
        yield* paused(measure(), progress);
        converged = still;
        break;
      }
    } else if (meter && looks) {
      yield* paused(measure(), progress);
      const error = yield* paused(meter.estimateError(grid, state), progress);
      converged =
        left.penetration <= tolerance &&
        left.forceImbalance <= tolerance &&
        left.complementarity <= tolerance &&
        Math.max(error, tiltError) <= errorTolerance;
      if (converged || last) break;
      next = penalties.following(left, error, iteration, next);
    }
    let relaxation = RELAXATION;
    if (repeats && iteration >= (piled ? EXTRAPOLATED_AFTER.pile : EXTRAPOLATED_AFTER.other)) {
      extrapolation ??= new Extrapolation([...shadowsOf(state), ...(like ? likeShadows(state, like) : [])], scratch);
      // Gaps that follow slopes and forces change the map a little too; forgotten there as well, steps tell too little.
      if (next !== penalty) extrapolation.forget();
      else if (extrapolation.able) {
        extrapolation.relax(relaxation);
        relaxation = 0;
      }
    }
    yield* paused(projectContacts(grid, state, relaxation, share * penalty, share * next), progress);
    if (like) projectLike(state, like, relaxation, penalty, next);
    penalties.now = next;
    yield progress;
  }
  const residuals = {
    iterations: iteration,
    penetration: left.penetration,
    forceImbalance: left.forceImbalance,
    complementarity: left.complementarity,
    converged,
  };
  const assembling = assembleSolution(problem, grid, state, slopes, share * penalties.now, residuals, scratch);
  const assembled = yield* paused(assembling, { stage: 'heights', share: 0.96 });
  const solution = like ? { ...assembled, likeForceN: like.forceN.slice() } : assembled;
  if (options.withoutWrap) return solution;
  const wrapping: Progress = { stage: 'heights', share: 0.98 };
  let offsets: CrossingOffsets | null = null;
  if (options.displace) offsets = yield* paused(options.displace(solution), wrapping);
  else if (problem.endOffsetMm && problem.rowOffsetMm)
    offsets = { endOffsetMm: problem.endOffsetMm, rowOffsetMm: problem.rowOffsetMm };
  const onLines = offsets ? yield* paused(heightsOnLines(problem, grid, solution, offsets), wrapping) : null;
  const drawn = onLines ? { ...solution, onLines } : solution;
  yield* paused(wrapThreads(problem, grid, drawn, preview ? 2 : 1, offsets), wrapping);
  return drawn;
}
