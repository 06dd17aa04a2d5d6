import type { Progress } from '#engine/cloth/clothTypes.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import type { Turns } from '#engine/packing/far/turnColour.ts';
import type { FarJob, ForecastJob, ForecastMessage, ForecastResult, StopWork, WorkerJob } from './protocol.ts';

export interface FarHandlers {
  readonly onFar: (far: FarCloth) => void;
  readonly onFailed: (where: string, why: string) => void;
}

export interface ForecastHandlers {
  readonly onProgress?: (progress: Progress) => void;
  /** A preview on the way to the settled cloth. */
  readonly onPartial?: (result: ForecastResult) => void;
  readonly onDone: (result: ForecastResult) => void;
  /** What the settled cloth is from afar; comes soon after it. */
  readonly onFar?: (far: FarCloth) => void;
  /** How its colour moves over the turn; follows that. */
  readonly onTurns?: (turns: Turns) => void;
  /** Where yarn shows that the draft hides; follows that. */
  readonly onGrin?: (grin: GrinTable) => void;
  /** There is no such cloth. */
  readonly onFailed: (where: string, why: string) => void;
  /** The settled cloth is there, but what follows it is not to come. */
  readonly onFarFailed?: (where: string, why: string) => void;
}

/**
 * Sends forecast jobs to a worker. Only the newest request is heard: once `request` has been called again, handlers of
 * the earlier call are not called any more.
 */
export class ForecastClient {
  private readonly worker: Worker;
  private jobId = 0;
  private revision = 0;
  private handlers: ForecastHandlers | undefined;
  /** The newest request's settled cloth has come. */
  private done = false;

  constructor(worker: Worker = new Worker(new URL('./forecastWorker.ts', import.meta.url), { type: 'module' })) {
    this.worker = worker;
    worker.onmessage = (event: MessageEvent<ForecastMessage>) => this.hear(event.data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.handlers?.onFailed('worker', event.message || 'The computing part of the page stopped. Reload the page.');
    };
  }

  request(job: Omit<ForecastJob, 'jobId' | 'revision'>, handlers: ForecastHandlers): void {
    this.send(job, handlers);
  }

  /** What a settled cloth is from afar, where its forecast did not ask for that. */
  requestFar(job: Omit<FarJob, 'jobId' | 'revision'>, { onFar, onFailed }: FarHandlers): void {
    this.send(job, { onDone: () => {}, onFar, onFailed });
  }

  /** Ends the work under way; handlers of its request are not called any more. */
  stop(): void {
    this.jobId++;
    this.handlers = undefined;
    this.worker.postMessage({ stop: true } satisfies StopWork);
  }

  dispose(): void {
    this.handlers = undefined;
    this.worker.terminate();
  }

  private send(
    job: Omit<ForecastJob, 'jobId' | 'revision'> | Omit<FarJob, 'jobId' | 'revision'>,
    handlers: ForecastHandlers,
  ): void {
    this.jobId++;
    this.revision++;
    this.handlers = handlers;
    this.done = false;
    this.worker.postMessage({ ...job, jobId: this.jobId, revision: this.revision } satisfies WorkerJob);
  }

  private hear(message: ForecastMessage): void {
    const handlers = this.handlers;
    if (message.jobId !== this.jobId || handlers === undefined) return;
    switch (message.kind) {
      case 'progress':
        handlers.onProgress?.(message.progress);
        break;
      case 'partial':
        handlers.onPartial?.(message.result);
        break;
      case 'done':
        this.done = true;
        handlers.onDone(message.result);
        break;
      case 'far':
        handlers.onFar?.(message.far);
        break;
      case 'turns':
        handlers.onTurns?.(message.turns);
        break;
      case 'grin':
        handlers.onGrin?.(message.grin);
        break;
      case 'failed':
        if (this.done) handlers.onFarFailed?.(message.where, message.why);
        else handlers.onFailed(message.where, message.why);
        break;
    }
  }
}
