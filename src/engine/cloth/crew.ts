import type { Progress } from './clothTypes.ts';
import { Scratch } from './scratch.ts';

/**
 * A piece of work that may be done in another thread, where its name is known. A job is copied to get there (a view with all
 * of the memory that it is a view of, so that parts are to be cut out), a result is handed over: nothing else may hold its
 * arrays.
 */
export interface Work<Job, Result> {
  readonly name: string;
  /** @param scratch of the thread, kept from job to job: arrays in it may not be part of the result */
  readonly steps: (job: Job, scratch: Scratch) => Generator<unknown, Result>;
  /** Arrays of a job that nothing else holds: handed over in place of copied. */
  readonly given?: (job: Job) => readonly ArrayBufferView[];
}

/** Pieces of work under way elsewhere. */
export interface Batch<Result> {
  /** Of the first piece whose result has not been taken: the result, or undefined while it is not there. @throws what that piece threw */
  take(): Result | undefined;
  /** Resolves when another piece has come to its end. */
  next(): Promise<void>;
  /** Pieces not yet done are dropped. */
  stop(): void;
}

/** Threads beside this one. */
export interface Crew {
  /** Pieces that are worked on at the same time, 2 or more. */
  readonly hands: number;
  /** Whether memory can be shared with them: what they write into it is seen here. */
  readonly shares: boolean;
  begin<Job, Result>(work: Work<Job, Result>, jobs: readonly (() => Job)[]): Batch<Result>;
}

/** Runs a piece of work here and now. */
function* inThisThread<Job, Result>(
  work: Work<Job, Result>,
  job: Job,
  progress: Progress,
  scratch = new Scratch(),
): Generator<Progress, Result> {
  const steps = work.steps(job, scratch);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield progress;
  }
}

/** Pieces of work that a crew has begun to do at the same time; without one they are done when they are waited for. */
export class Begun<Job, Result> {
  private readonly batch: Batch<Result> | undefined;

  /** @param jobs made when their turn comes */
  constructor(
    crew: Crew | undefined,
    private readonly work: Work<Job, Result>,
    private readonly jobs: readonly (() => Job)[],
  ) {
    this.batch = jobs.length < 2 ? undefined : crew?.begin(work, jobs);
  }

  /**
   * Hands each result to `take` in the order of the jobs.
   * @param progress at a share of the pieces done, 0..1
   * @param meanwhile what this thread does while others work: it has been done at the end, and need not be for a result to be taken
   */
  *finish(
    take: (result: Result, index: number) => void,
    progress: (share: number) => Progress,
    meanwhile?: Generator<Progress, unknown>,
  ): Generator<Progress, void> {
    const { batch, work, jobs } = this;
    if (!batch) {
      const scratch = new Scratch();
      for (const [index, job] of jobs.entries())
        take(yield* inThisThread(work, job(), progress(index / jobs.length), scratch), index);
    }
    let doing = meanwhile;
    for (let index = 0; batch && index < jobs.length; ) {
      const result = batch.take();
      if (result !== undefined) {
        take(result, index++);
        continue;
      }
      const step = doing?.next();
      if (step && !step.done) yield step.value;
      else doing = undefined;
      if (!step) yield { ...progress(index / jobs.length), until: batch.next() };
    }
    if (doing) yield* doing;
  }

  /** Stops what is not done. */
  stop(): void {
    this.batch?.stop();
  }
}

/** `Begun`, begun and finished; ended early it stops its pieces. */
export function* together<Job, Result>(
  crew: Crew | undefined,
  work: Work<Job, Result>,
  jobs: readonly (() => Job)[],
  take: (result: Result, index: number) => void,
  progress: (share: number) => Progress,
  meanwhile?: Generator<Progress, unknown>,
): Generator<Progress, void> {
  const begun = new Begun(crew, work, jobs);
  try {
    yield* begun.finish(take, progress, meanwhile);
  } finally {
    begun.stop();
  }
}

/** Work that goes on beside what comes next. */
export class Beside {
  private readonly batches = new Set<Batch<unknown>>();

  constructor(readonly crew: Crew | undefined) {}

  /** Begins a piece of work; what is returned waits for its result. Without a crew it is done then. */
  begin<Job, Result>(work: Work<Job, Result>, job: Job): (progress: Progress) => Generator<Progress, Result> {
    const { crew, batches } = this;
    if (!crew) return (progress) => inThisThread(work, job, progress);
    const batch = crew.begin(work, [() => job]);
    batches.add(batch);
    return function* (progress) {
      for (;;) {
        const result = batch.take();
        if (result !== undefined) return result;
        yield { ...progress, until: batch.next() };
      }
    };
  }

  /** Stops what has been begun and is not done. */
  stop(): void {
    for (const batch of this.batches) batch.stop();
  }
}
