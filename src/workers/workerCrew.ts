import type { Batch, Crew, Work } from '#engine/cloth/crew.ts';
import type { FromHand, ToHand } from './handProtocol.ts';
import { errorOf } from './trouble.ts';

/** A thread that works for the crew: a Worker, or what stands for one in a test. */
export interface HandPort {
  postMessage(message: ToHand, transfer: Transferable[]): void;
  onmessage: ((event: { readonly data: FromHand }) => void) | null;
  onerror: ((event: { readonly message?: string; preventDefault?(): void }) => void) | null;
  terminate(): void;
}

type Outcome = { readonly result: unknown } | { readonly error: Error };

interface Piece {
  readonly id: number;
  readonly name: string;
  readonly batch: Pieces<unknown>;
  readonly index: number;
  readonly job: () => unknown;
  readonly given: (job: unknown) => readonly ArrayBufferView[];
}

/** Most threads: each takes memory of its own. */
export const MOST_HANDS = 15;

/** Shares work among threads that are started as they are needed. The first free one takes what has waited longest. */
export class WorkerCrew implements Crew {
  private readonly waiting: Piece[] = [];
  private readonly free: HandPort[] = [];
  private readonly busy = new Map<HandPort, Piece>();
  private nextId = 1;

  /**
   * @param hands threads at most, 2 or more
   * @param shares where a page may share memory by itself: it has to be served apart from other origins
   */
  constructor(
    readonly hands: number,
    private readonly startHand: () => HandPort,
    readonly shares = typeof SharedArrayBuffer !== 'undefined',
  ) {}

  begin<Job, Result>(work: Work<Job, Result>, jobs: readonly (() => Job)[]): Batch<Result> {
    const batch = new Pieces<Result>((ended) => this.drop(ended as Pieces<unknown>));
    const given = (job: unknown) => work.given?.(job as Job) ?? [];
    for (const [index, job] of jobs.entries())
      this.waiting.push({ id: this.nextId++, name: work.name, batch: batch as Pieces<unknown>, index, job, given });
    this.dispatch();
    return batch;
  }

  /** Ends its threads. */
  dispose(): void {
    for (const hand of [...this.free, ...this.busy.keys()]) hand.terminate();
    this.free.length = 0;
    this.busy.clear();
    this.waiting.length = 0;
  }

  private dispatch(): void {
    for (let piece = this.waiting[0]; piece; piece = this.waiting[0]) {
      const hand = this.free.pop() ?? (this.busy.size < this.hands ? this.start() : undefined);
      if (!hand) return;
      this.waiting.shift();
      this.busy.set(hand, piece);
      const job = piece.job();
      const buffers = new Set(piece.given(job).map(({ buffer }) => buffer as ArrayBuffer));
      hand.postMessage({ id: piece.id, name: piece.name, job }, [...buffers]);
    }
  }

  private start(): HandPort {
    const hand = this.startHand();
    hand.onmessage = ({ data }) => {
      const piece = this.busy.get(hand);
      if (piece?.id !== data.id) return;
      this.busy.delete(hand);
      this.free.push(hand);
      if ('result' in data) piece.batch.note(piece.index, { result: data.result });
      else if ('trouble' in data) piece.batch.note(piece.index, { error: errorOf(data.trouble) });
      this.dispatch();
    };
    hand.onerror = (event) => {
      event.preventDefault?.();
      const piece = this.busy.get(hand);
      const at = this.free.indexOf(hand);
      if (at >= 0) this.free.splice(at, 1);
      this.busy.delete(hand);
      hand.terminate();
      const why = event.message || 'One of the computing threads of the page stopped. Reload the page.';
      piece?.batch.note(piece.index, { error: new Error(why) });
      this.dispatch();
    };
    return hand;
  }

  private drop(batch: Pieces<unknown>): void {
    for (let k = this.waiting.length - 1; k >= 0; k--) if (this.waiting[k].batch === batch) this.waiting.splice(k, 1);
    for (const [hand, piece] of this.busy) if (piece.batch === batch) hand.postMessage({ stop: piece.id }, []);
  }
}

class Pieces<Result> implements Batch<Result> {
  private readonly ended = new Map<number, Outcome>();
  private taken = 0;
  private wake: (() => void) | undefined;

  constructor(private readonly drop: (batch: Pieces<Result>) => void) {}

  note(index: number, outcome: Outcome): void {
    this.ended.set(index, outcome);
    this.wake?.();
    this.wake = undefined;
  }

  take(): Result | undefined {
    const outcome = this.ended.get(this.taken);
    if (!outcome) return undefined;
    if ('error' in outcome) throw outcome.error;
    this.ended.delete(this.taken++);
    return outcome.result as Result;
  }

  next(): Promise<void> {
    return new Promise((resolve) => {
      const earlier = this.wake;
      this.wake = () => {
        earlier?.();
        resolve();
      };
    });
  }

  stop(): void {
    this.drop(this);
  }
}
