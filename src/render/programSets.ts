import { EVERY_FEATURE, hasAll } from './programFeatures.ts';

/** Sets of features whose programs are kept: those asked for last. */
const MOST_SETS = 8;

/** How far the programs for a set of features have been compiled: those of quick pictures, and those of light besides. */
export interface Readiness {
  quick: boolean;
  full: boolean;
  compiling: boolean;
}

/** Which sets of features there are programs for, and how far those are. */
export class ProgramSets {
  /** The set asked for last at the end. */
  private readonly sets = new Map<number, Readiness>();

  /** @param onLeft told the sets that stay where one makes way */
  constructor(private readonly onLeft: (sets: readonly number[]) => void = () => {}) {}

  /** How far the programs for these features have come, for whoever compiles them; of too many sets the one asked for longest ago makes way. */
  ask(features: number): Readiness {
    const kept = this.sets.get(features) ?? { quick: false, full: false, compiling: false };
    this.sets.delete(features);
    this.sets.set(features, kept);
    if (this.sets.size > MOST_SETS) {
      const [oldest, ...left] = this.sets.keys();
      this.sets.delete(oldest);
      this.onLeft(left);
    }
    return kept;
  }

  /**
   * The set whose programs draw a cloth of these features without a wait: its own, else the leanest that has more, which draw the
   * same picture more slowly; undefined where there is none.
   * @param full with light
   */
  readyFor(features: number, full: boolean): number | undefined {
    let leanest: number | undefined;
    for (const [set, { quick, full: lit }] of this.sets) {
      if (!hasAll(set, features) || !quick || (full && !lit)) continue;
      if (leanest === undefined || countOf(set) < countOf(leanest)) leanest = set;
    }
    return leanest;
  }

  /** What was compiled went with its context. */
  forget(): void {
    this.sets.clear();
  }
}

function countOf(set: number): number {
  let count = 0;
  for (let bit = 1; bit <= EVERY_FEATURE; bit <<= 1) count += set & bit ? 1 : 0;
  return count;
}
