import type { ContactResiduals } from './contactResiduals.ts';

/** Penalties as multiples of the beams' natural stiffness: high settles crimp, low settles floats and relief. */
const FIRST_PENALTY = 16;
const WARM_PENALTY = 2;
const LAST_PENALTY = 0.5;
/** All of them times this where heights are settled: of 0.35 to 3 the fewest iterations over weaves, layers and tensions. */
const SETTLED_PENALTY = 1.4;
/** Factor from one penalty to the next: 16 to 0.5 in ten steps. */
const PENALTY_STEP = 0.5 ** 0.5;
/**
 * Where three like threads and more lie over one another: under a falling penalty layers swing to and fro about their levels,
 * the longer the tighter the warp, so it stays until so many iterations are done, and as long as the last steps tell the rest
 * (an even repeat). Threads near a fault then ask for less.
 */
const PILE_PENALTY = 4;
const LAST_PILE_PENALTY = 1;
const PILE_STAYS = 48;
/** Where contacts lag behind everything else the penalty rises again, but not without end, or nothing would converge. */
const RAISE = 2;
const MOST_RAISES = 8;
/**
 * Where contacts are settled and the rest still moves it falls again, likewise not without end: what it has risen by once they
 * are within their bounds (it may rise once too often, and then all else crawls), further only once they are well within.
 */
const MOST_LOWERS = 4;
const RISEN = { within: 1, before: 3 };
const UNRISEN = { within: 0.2, before: 5 };
const FALLING = 60;

/** A warm preview has few iterations in which to settle crimp, hence more penalty; more yet where crossings have turned. */
const WARM_PREVIEW_PENALTY = 4;
const TURNED_PREVIEW_PENALTY = 8;

/** How a solve begins, and what it is asked. */
export interface PenaltyPlan {
  readonly preview: boolean;
  /** Whether it starts from an earlier solution, and whether crossings have turned since. */
  readonly warm: boolean;
  readonly turned: boolean;
  /** Whether three like threads or more lie over one another, in a repeat whose last steps are extrapolated. */
  readonly piled: boolean;
  /** All penalties times this. */
  readonly scale: number;
  readonly iterationsPerPenalty: number;
  readonly tolerance: number;
  readonly errorTolerance: number;
}

/**
 * Penalties of the splitting (see splitting.ts), multiples of the beams' natural stiffness. They fall along a schedule, follow
 * what lags a bounded number of times and then stay, so that convergence is assured and the solution does not depend on them.
 */
export class Penalties {
  /** Of the present iteration. */
  now: number;
  private readonly scale: number;
  private readonly least: number;
  private raises = 0;
  private lowers = 0;

  constructor(private readonly plan: PenaltyPlan) {
    const { preview, warm, turned, piled } = plan;
    this.scale = plan.scale * (preview ? 1 : SETTLED_PENALTY);
    const warmPenalty = !preview ? WARM_PENALTY : turned ? TURNED_PREVIEW_PENALTY : WARM_PREVIEW_PENALTY;
    this.now = this.scale * (warm ? warmPenalty : piled ? PILE_PENALTY : FIRST_PENALTY);
    this.least = this.scale * (piled ? LAST_PILE_PENALTY : LAST_PENALTY);
  }

  /**
   * The penalty after the iteration `iteration`, counted from 1, by the schedule alone.
   * @param told whether the last steps tell what is left
   */
  scheduled(iteration: number, told: boolean): number {
    if (this.raises + this.lowers > 0 || iteration % this.plan.iterationsPerPenalty !== 0) return this.now;
    if (this.plan.piled && (told || iteration < PILE_STAYS)) return this.now;
    return Math.max(this.least, this.now * PENALTY_STEP);
  }

  /** The penalty to follow where `left` is what contacts lack and `error` that of the heights; `next` where nothing lags. */
  following(left: ContactResiduals, error: number, iteration: number, next: number): number {
    const { tolerance, errorTolerance } = this.plan;
    const apart = left.penetration / tolerance;
    const lag = Math.max(apart, left.complementarity / tolerance);
    const rest = Math.max(left.forceImbalance / tolerance, error / errorTolerance);
    const low = this.now < this.least;
    const settled = this.now > this.least ? RISEN : UNRISEN;
    if (this.raises < MOST_RAISES && ((apart > 2 && apart > 2 * rest) || (low && lag > 2 && lag > 5 * rest))) {
      this.raises++;
      return this.now * RAISE;
    }
    if (this.lowers < MOST_LOWERS && iteration > FALLING && lag < settled.within && settled.before * lag < rest) {
      this.lowers++;
      return this.now / RAISE;
    }
    return next;
  }
}
