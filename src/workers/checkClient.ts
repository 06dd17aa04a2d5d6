import type { CheckAnswers, CheckJob, CheckReply } from './checkProtocol.ts';

/** Asks the worker for checks, fits and distances, away from the page. Each question has its own answer. */
export class CheckClient {
  private readonly worker: Worker;
  /** Set once the worker has failed: it answers no more. */
  stopped = false;
  private nextId = 1;
  private readonly waiting = new Map<number, { resolve(answer: unknown): void; reject(error: Error): void }>();

  constructor(worker: Worker = new Worker(new URL('./checkWorker.ts', import.meta.url), { type: 'module' })) {
    this.worker = worker;
    worker.onmessage = ({ data }: MessageEvent<CheckReply>) => {
      const asked = this.waiting.get(data.id);
      this.waiting.delete(data.id);
      if ('trouble' in data) asked?.reject(new Error(data.trouble));
      else asked?.resolve(data.answer);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      this.stopped = true;
      for (const { reject } of this.waiting.values()) {
        reject(new Error(event.message || 'The checking part of the page stopped. Reload the page.'));
      }
      this.waiting.clear();
    };
  }

  ask<Kind extends CheckJob['kind']>(job: Extract<CheckJob, { kind: Kind }>): Promise<CheckAnswers[Kind]> {
    const id = this.nextId++;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { resolve: (answer) => resolve(answer as CheckAnswers[Kind]), reject });
      this.worker.postMessage({ id, job });
    });
  }

  dispose(): void {
    this.waiting.clear();
    this.worker.terminate();
  }
}

let shared: CheckClient | undefined;

/**
 * The page's checking worker, started when first asked for and kept: it is quick only once the browser has compiled it. One
 * that failed is put by for a new one.
 */
export function checkClient(): CheckClient {
  if (!shared || shared.stopped) {
    shared?.dispose();
    shared = new CheckClient();
  }
  return shared;
}
