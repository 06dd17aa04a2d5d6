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
export function* inThisThread<Job, Result>(
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

/**
 * Does pieces of work at the same time where there is a crew, else one after another, and hands each result to `take` in the
 * order of the jobs. Ended early it stops them.
 * @param jobs made when their turn comes
 * @param progress at a share of the pieces done, 0..1
 */
export function* together<Job, Result>(
  crew: Crew | undefined,
  work: Work<Job, Result>,
  jobs: readonly (() => Job)[],
  take: (result: Result, index: number) => void,
  progress: (share: number) => Progress,
): Generator<Progress, void> {
  if (!crew || jobs.length < 2) {
    const scratch = new Scratch();
    for (const [index, job] of jobs.entries())
      take(yield* inThisThread(work, job(), progress(index / jobs.length), scratch), index);
    return;
  }
  const batch = crew.begin(work, jobs);
  try {
    for (let index = 0; index < jobs.length; ) {
      const result = batch.take();
      if (result === undefined) yield { ...progress(index / jobs.length), until: batch.next() };
      else take(result, index++);
    }
  } finally {
    batch.stop();
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
