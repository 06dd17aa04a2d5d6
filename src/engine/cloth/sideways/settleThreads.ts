import type { Progress } from '#engine/cloth/clothTypes.ts';
import type {
  CrossingOffsets,
  HeightsOptions,
  HeightsProblem,
  HeightsSolution,
} from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import type { SectionFields } from './neighbourRoom.ts';
import { buildPlanSides, type PlanSides, type PlanThreads } from './planSide.ts';
import { solveSidewaysInBands } from './rowBands.ts';
import { FRICTION, type SidewaysSolution } from './solveSideways.ts';
import { totalEnergyNmm } from './threadEnergy.ts';

/** Share of D below which offsets count as settled between passes. */
const SETTLED_SHARE = 0.01;
/** Passes over a repeat, and over a larger cloth. */
const MOST_PASSES = 12;
const MOST_LARGE_PASSES = 3;
/** A repeat is small enough to be settled to a thousandth of a width each time. */
const REPEAT_TOLERANCE = 1e-3;
/** Crossings up to which each thread has spans of its own, as its crossings have moved; beyond, heights stay as solved. */
const MOST_OWN_SPANS = 10_000;
/** Crossings of a small cloth, whose preview is settled all the same. */
const SETTLED_AT_ONCE = 2000;
/** A larger one moves its threads as far as so many iterations take them: within some 3 % of D (99 in 100), a preview's 4 %. */
const LARGE_ITERATIONS = 18;
/** The largest as far as the time for a forecast lets them. */
const HUGE = 1_000_000;
const HUGE_ITERATIONS = 6;
const PREVIEW_ITERATIONS = 6;

export interface SettledThreads {
  readonly solution: HeightsSolution;
  /** Null where no thread leaves its line. */
  readonly sideways: SidewaysSolution | null;
  /** Energy of the threads on their lines and after each pass that was kept, N mm (threadEnergy.ts); of a repeat or small cloth. */
  readonly energyNmm: readonly number[];
}

export interface SettleOptions extends Omit<HeightsOptions, 'displace' | 'withoutWrap'> {
  readonly frictionCoefficient?: number;
  /** Where threads of a like cloth lay; a preview of a large one takes them as they are. */
  readonly startSideways?: SidewaysSolution | null;
  /** Crossings of the cloth that this is a part of, which say how closely it is settled; its own by itself. */
  readonly ofCrossings?: number;
}

/**
 * Heights and sideways offsets in turn, until the offsets move by less than 1 % of D: each lowers the same energy for
 * what the other has found. Between passes friction follows the new forces and contacts the new slopes, which the energy of a
 * fixed model does not know of: a pass after which it is higher is not kept, and ends the turns.
 * @param sectionsOf sections of the threads at given heights
 */
export function* settleThreads(
  problem: HeightsProblem,
  threads: PlanThreads,
  sectionsOf: (solution: HeightsSolution) => Generator<void, SectionFields>,
  options: SettleOptions = {},
): Generator<Progress, SettledThreads> {
  const { frictionCoefficient, startSideways, ofCrossings, ...heightsOptions } = options;
  const held = problem.rows * problem.ends;
  const crossings = ofCrossings ?? held;
  const small = crossings <= SETTLED_AT_ONCE;
  const large = crossings > MOST_OWN_SPANS;
  const preview = options.quality === 'preview' && !small;
  const alike = startSideways && startSideways.endOffsetMm.length === held ? startSideways : null;
  const turns = !large && !preview;
  const energyNmm: number[] = [];
  let sideways: SidewaysSolution | null = null;
  let sides: PlanSides | null = null;
  function* displace(solution: HeightsSolution): Generator<void, CrossingOffsets | null> {
    if (preview && startSideways !== undefined) {
      sideways = alike;
      return sideways;
    }
    const sections = yield* sectionsOf(solution);
    if (turns && !sides) sides = yield* buildPlanSides(problem, threads);
    const plan = sides;
    const takeEnergy = () => {
      if (plan)
        energyNmm.push(
          totalEnergyNmm(problem, solution, sections, threads, plan, sideways, frictionCoefficient ?? FRICTION),
        );
    };
    if (energyNmm.length === 0) takeEnergy();
    sideways = yield* solveSidewaysInBands(problem, solution, sections, threads, {
      ...(heightsOptions.scratch ? { scratch: heightsOptions.scratch } : {}),
      ...(frictionCoefficient === undefined ? {} : { frictionCoefficient }),
      ...(preview
        ? { maxIterations: PREVIEW_ITERATIONS }
        : large
          ? { maxIterations: crossings > HUGE ? HUGE_ITERATIONS : LARGE_ITERATIONS }
          : {}),
      ...startingFrom(large ? alike : sideways),
      ...(small ? { tolerance: REPEAT_TOLERANCE } : {}),
      ...(plan ? { sides: plan } : {}),
    });
    if (turns) {
      takeEnergy();
      // What a thread gains by leaving its line can be less than the offsets' own error.
      if (energyNmm.length === 2 && energyNmm[1] > energyNmm[0]) {
        energyNmm.pop();
        sideways = null;
      }
    }
    return sideways;
  }
  let solution = yield* solveHeights(problem, { ...heightsOptions, displace });
  if (!turns) return { solution, sideways, energyNmm };
  let before: CrossingOffsets | null = null;
  for (let pass = 0; pass < (small ? MOST_PASSES : MOST_LARGE_PASSES); pass++) {
    const found: SidewaysSolution | null = sideways;
    if (!found || largestMove(problem, found, before) < SETTLED_SHARE) break;
    before = found;
    const { endOffsetMm, rowOffsetMm } = found as SidewaysSolution;
    const moved = { ...problem, endOffsetMm, rowOffsetMm };
    const kept = copyOf(solution);
    solution = yield* solveHeights(moved, { ...heightsOptions, start: solution, displace });
    const [least, now] = energyNmm.slice(-2);
    if (now <= least) continue;
    energyNmm.pop();
    return { solution: kept, sideways: found, energyNmm };
  }
  return { solution, sideways, energyNmm };
}

function startingFrom(start: CrossingOffsets | null): { start?: CrossingOffsets } {
  return start ? { start } : {};
}

/** A solution whose memory the next solve does not take. */
function copyOf(solution: HeightsSolution): HeightsSolution {
  const copied = (fields: object) =>
    Object.fromEntries(
      Object.entries(fields).map(([name, value]) => [name, value instanceof Float64Array ? value.slice() : value]),
    );
  const { onLines } = solution;
  return { ...copied(solution), ...(onLines ? { onLines: copied(onLines) } : {}) } as HeightsSolution;
}

/** Largest difference of two sets of offsets over the crossing's D. */
function largestMove(problem: HeightsProblem, a: CrossingOffsets, b: CrossingOffsets | null): number {
  const { rows, ends, endHalfHeightMm, rowHalfHeightMm } = problem;
  let worst = 0;
  for (let j = 0, at = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++, at++) {
      const x = Math.abs(a.endOffsetMm[at] - (b ? b.endOffsetMm[at] : 0));
      const y = Math.abs(a.rowOffsetMm[at] - (b ? b.rowOffsetMm[at] : 0));
      worst = Math.max(worst, Math.max(x, y) / (endHalfHeightMm[i] + rowHalfHeightMm[j]));
    }
  }
  return worst;
}
