import { applyCutsInSteps } from '#engine/cloth/after/applyCuts.ts';
import { bendByHand } from '#engine/cloth/after/bendByHand.ts';
import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Crew } from '#engine/cloth/crew.ts';
import { type ForecastMemory, forecastCloth, type Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import { type LinearRgb, meanLinear } from '#engine/colour/colour.ts';
import { beginPacking, type PackingBegun } from '#engine/packing/beginPacking.ts';
import { farInSteps } from '#engine/packing/far/buildFar.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import { grinInSteps } from '#engine/packing/far/grin.ts';
import { turnsInSteps } from '#engine/packing/far/turnColour.ts';
import { packInSteps } from '#engine/packing/packCloth.ts';
import { collectBuffers } from './collectBuffers.ts';
import type { FarJob, ForecastJob, ForecastMessage, ForecastResult, WorkerJob } from './protocol.ts';

/** Longest stretch of work between two looks at the message queue, ms: an edit is noticed within a frame or so. */
const CHUNK_MS = 20;

/** What the runner needs of its surroundings, so that it runs in a worker and in a test alike. */
export interface Surroundings {
  readonly post: (message: ForecastMessage, transfer: Transferable[]) => void;
  /** Resolves once messages that wait have been handled. */
  readonly breathe: () => Promise<void>;
  /** Milliseconds. */
  readonly now: () => number;
  /** Threads that share the work, at most so many. */
  readonly crewOf?: (hands: number | undefined) => Crew | undefined;
}

/** Smaller cloths are through before a thread beside this one has begun. */
const LEAST_SHARED_CROSSINGS = 30_000;

/** The cloth solved, read and laid out for the picture. */
function* resultOf(
  job: ForecastJob,
  problem: ClothProblem,
  quality: Quality,
  memory: ForecastMemory,
  crew: Crew | undefined,
): Generator<Progress, ForecastResult> {
  // A large cloth's threads are laid out while it is read.
  let begun: PackingBegun | undefined;
  const ready = (there: ClothProblem, geometry: ClothGeometry) => {
    begun = beginPacking(there, geometry, job.materials, crew);
  };
  try {
    return yield* forecastWith(job, problem, quality, memory, crew, ready, () => begun);
  } finally {
    begun?.bands?.begun.stop();
  }
}

function* forecastWith(
  job: ForecastJob,
  problem: ClothProblem,
  quality: Quality,
  memory: ForecastMemory,
  crew: Crew | undefined,
  ready: (there: ClothProblem, geometry: ClothGeometry) => void,
  begun: () => PackingBegun | undefined,
): Generator<Progress, ForecastResult> {
  const { cuttings = [], bends = [] } = job;
  const whole = job.region === 'whole' && (cuttings.length > 0 || bends.length > 0);
  const wanted = { ...(job.state ?? { state: 'onLoom', treatment: 'none' }), whole };
  const woven = yield* forecastCloth(problem, quality, memory, wanted, crew, ready);
  const {
    geometry: laid,
    readings,
    cut,
  } = cuttings.length > 0 && job.region === 'whole'
    ? yield* applyCutsInSteps(woven.problem, woven.geometry, woven.readings, cuttings)
    : { ...woven, cut: undefined };
  const loom = (job.state?.state ?? 'onLoom') === 'onLoom';
  const bent =
    bends.length > 0 && job.region === 'whole'
      ? bendByHand(woven.problem, laid, bends, loom, readings.weightGPerM2.value)
      : undefined;
  const geometry = bent?.geometry ?? laid;
  const { materials, leaves } = job;
  const packed = yield* packInSteps(
    woven.problem,
    geometry,
    materials,
    readings.weftTakeUp.value,
    leaves,
    crew,
    begun(),
  );
  const { rows, ends, endXMm, rowYMm } = geometry;
  return {
    geometry: { rows, ends, endXMm, rowYMm },
    residuals: geometry.residuals,
    readings,
    packed,
    ...(cut ? { cut } : {}),
    ...(bent ? { bends: bent.reports } : {}),
  };
}

/** Mean cone colour of a material's strands. */
function coneColourOf(job: ForecastJob): (material: number) => LinearRgb {
  const means = job.materials.map(({ strands }) => meanLinear(strands.map(({ coneColour }) => coneColour)));
  return (material) => means[material];
}

/** Runs forecast jobs one at a time, the newest revision first and alone. */
export class ForecastRunner {
  private newest = Number.NEGATIVE_INFINITY;
  private ticket = 0;
  private readonly memory: ForecastMemory = {};
  /** Resolves when a newer job comes. */
  private superseded: Promise<void> = Promise.resolve();
  private supersede: () => void = () => {};
  private readonly around: Surroundings;

  constructor(around: Surroundings) {
    this.around = around;
  }

  /** Starts a job; older ones stop at their next breath. Resolves when this one has ended, whichever way. */
  async start(job: WorkerJob): Promise<void> {
    if (job.revision < this.newest) return;
    this.newest = job.revision;
    this.ticket++;
    this.supersede();
    this.superseded = new Promise((resolve) => {
      this.supersede = resolve;
    });
    const ticket = this.ticket;
    const { jobId, revision } = job;
    try {
      if ('packed' in job) {
        await this.far(job, job.packed, ticket);
        return;
      }
      const problem = job.region === 'whole' ? job.problem : clothRegion(job.problem, job.region);
      const qualities: Quality[] = job.quality === 'preview' ? ['preview'] : ['preview', 'settled'];
      const shared = problem.rows * problem.ends >= LEAST_SHARED_CROSSINGS;
      const crew = shared ? this.around.crewOf?.(job.hands) : undefined;
      for (const quality of qualities) {
        const result = await this.work(job, resultOf(job, problem, quality, this.memory, crew), ticket);
        if (result === undefined) return;
        const buffers = new Set<ArrayBuffer>();
        // Arrays that are looked at once more here are copied, not handed over.
        const { packed, ...rest } = result;
        const looksAgain = quality === 'settled' && job.far === true;
        collectBuffers(looksAgain ? rest : result, buffers);
        const kind = quality === job.quality ? 'done' : 'partial';
        this.around.post({ kind, jobId, revision, result }, [...buffers]);
        await this.around.breathe();
        if (ticket !== this.ticket) return;
        if (!looksAgain) continue;
        const far = await this.far(job, packed, ticket);
        if (!far) return;
        const turns = await this.work(job, turnsInSteps(packed, far, coneColourOf(job)), ticket, true);
        if (!turns) return;
        this.around.post({ kind: 'turns', jobId, revision, turns }, []);
        const grin = await this.work(job, grinInSteps(packed, problem.drawdown, far), ticket, true);
        if (grin === undefined) return;
        this.around.post({ kind: 'grin', jobId, revision, grin }, []);
      }
    } catch (error) {
      const where = error instanceof ClothError ? error.where : 'forecast';
      const why = error instanceof Error ? error.message : String(error);
      this.around.post({ kind: 'failed', jobId, revision, where, why }, []);
    }
  }

  /** Ends what runs at its next breath, and asks for nothing in its place. */
  stop(): void {
    this.ticket++;
    this.supersede();
  }

  /** Finds and sends what a cloth is from afar; undefined where it was ended before. */
  private async far(job: WorkerJob, packed: FarJob['packed'], ticket: number): Promise<FarCloth | undefined> {
    const far = await this.work(job, farInSteps(packed), ticket, true);
    if (far === undefined) return undefined;
    const { jobId, revision } = job;
    // Copied: turns and grin-through look at it once more.
    this.around.post({ kind: 'far', jobId, revision, far }, []);
    return far;
  }

  /** @param silent tells nothing of progress */
  private async work<T>(
    job: WorkerJob,
    steps: Generator<Progress, T>,
    ticket: number,
    silent = false,
  ): Promise<T | undefined> {
    let chunkStart = this.around.now();
    for (;;) {
      const step = steps.next();
      if (step.done) return step.value;
      const { until, ...progress } = step.value;
      if (!until && this.around.now() - chunkStart < CHUNK_MS) continue;
      const { jobId, revision } = job;
      if (!silent) this.around.post({ kind: 'progress', jobId, revision, progress }, []);
      await (until ? Promise.race([until, this.superseded]) : this.around.breathe());
      if (ticket !== this.ticket) {
        // Others that share its work are to leave it too.
        steps.return(undefined as T);
        return undefined;
      }
      chunkStart = this.around.now();
    }
  }
}
