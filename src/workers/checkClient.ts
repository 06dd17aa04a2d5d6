import type { CheckAnswers, CheckJob, CheckReply } from './checkProtocol.ts';

/** Asks the worker for checks, fits and distances, away from the page. Each question has its own answer. */
export class CheckClient {
  private readonly worker: Worker;
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
