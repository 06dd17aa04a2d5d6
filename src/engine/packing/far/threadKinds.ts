/** What of the threads beside a crossing tells it from others. */
export interface ThreadGrain {
  readonly neighbourYarns: boolean;
  /** Steps of the pitch per doubling; 0: all alike. */
  readonly pitchSteps: 0 | 2 | 4;
}

/** Threads of one family, as classes of crossings tell them apart. */
export interface ThreadKinds {
  /** By thread: number of its kind. */
  readonly kindOf: Uint32Array;
  /** By thread: its material. */
  readonly yarnOf: Uint32Array;
  readonly count: number;
}

/** One family's threads: how many of them repeat, of how many, where they lie and what they are made of. */
export interface ThreadFamily {
  readonly count: number;
  readonly all: number;
  readonly position: (k: number) => number;
  readonly material: (k: number) => number;
}

/** Numbers the kinds of threads of one family: its own yarn, the yarns beside it and the pitches either way. */
export function threadKinds({ count, all, position, material }: ThreadFamily, grain: ThreadGrain): ThreadKinds {
  const known = new Map<string, number>();
  const kindOf = new Uint32Array(count);
  const yarnOf = new Uint32Array(count);
  const pitchStep = (k: number) => {
    if (grain.pitchSteps === 0 || k < 0 || k + 1 >= all) return 0;
    return Math.round(Math.log2(Math.max(1e-6, position(k + 1) - position(k))) * grain.pitchSteps);
  };
  for (let k = 0; k < count; k++) {
    const before = k > 0 ? k - 1 : count < all ? count - 1 : -1;
    const after = k + 1 < all ? k + 1 : -1;
    const yarns = grain.neighbourYarns
      ? [before < 0 ? -1 : material(before), material(k), after < 0 ? -1 : material(after)]
      : [material(k)];
    const key = `${yarns}|${pitchStep(before)}|${pitchStep(k)}`;
    let found = known.get(key);
    if (found === undefined) {
      found = known.size;
      known.set(key, found);
    }
    kindOf[k] = found;
    yarnOf[k] = Math.max(0, material(k));
  }
  return { kindOf, yarnOf, count: known.size };
}
