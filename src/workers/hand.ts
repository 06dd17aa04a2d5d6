import type { Work } from '#engine/cloth/crew.ts';
import { solvePart } from '#engine/cloth/forecast/solvePart.ts';
import { numberBand } from '#engine/cloth/kinds/numberBand.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { settleWindow } from '#engine/cloth/states/settleWindow.ts';
import { sizeDoubts } from '#engine/cloth/states/sizeDoubts.ts';
import { packBand } from '#engine/packing/packBand.ts';
import { packKinds } from '#engine/packing/packKinds.ts';
import { collectBuffers } from './collectBuffers.ts';
import type { FromHand, ToHand } from './handProtocol.ts';
import { troubleOf } from './trouble.ts';

/** Longest stretch of work between two looks at the messages, ms. */
const CHUNK_MS = 20;

const all: readonly Work<never, unknown>[] = [numberBand, solvePart, settleWindow, sizeDoubts, packBand, packKinds];
const works = new Map(all.map((work) => [work.name, work as unknown as Work<unknown, unknown>]));

/** What a hand needs of its surroundings, so that it works in a thread and in a test alike. */
export interface HandSurroundings {
  readonly post: (message: FromHand, transfer: ArrayBuffer[]) => void;
  /** Resolves once messages that wait have been handled. */
  readonly breathe: () => Promise<void>;
  /** Milliseconds. */
  readonly now: () => number;
}

/** Does the pieces of work that it is sent, one at a time. */
export class Hand {
  private stopped = -1;
  private scratch = new Scratch();

  constructor(private readonly around: HandSurroundings) {}

  hear(message: ToHand): void {
    if ('stop' in message) this.stopped = message.stop;
    else void this.work(message.id, message.name, message.job);
  }

  /** Lets go of the memory that it works in. */
  rest(): void {
    this.scratch = new Scratch();
  }

  private async work(id: number, name: string, job: unknown): Promise<void> {
    const { post, breathe, now } = this.around;
    try {
      const work = works.get(name);
      if (!work) throw new Error(`crew: no work is called ${name}`);
      const steps = work.steps(job, this.scratch);
      let chunkStart = now();
      for (;;) {
        const step = steps.next();
        if (step.done) {
          const buffers = new Set<ArrayBuffer>();
          collectBuffers(step.value, buffers);
          post({ id, result: step.value }, [...buffers]);
          return;
        }
        if (now() - chunkStart < CHUNK_MS) continue;
        await breathe();
        if (this.stopped === id) {
          post({ id, stopped: true }, []);
          return;
        }
        chunkStart = now();
      }
    } catch (error) {
      post({ id, trouble: troubleOf(error) }, []);
    }
  }
}
