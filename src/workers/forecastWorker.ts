import { ForecastRunner } from './forecastRunner.ts';
import type { WorkerJob } from './protocol.ts';

/** A message to oneself comes after those that wait, and sooner than a timer. */
const channel = new MessageChannel();
let resume: (() => void) | undefined;
channel.port1.onmessage = () => resume?.();

function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const earlier = resume;
    resume = () => {
      earlier?.();
      resume = undefined;
      resolve();
    };
    channel.port2.postMessage(null);
  });
}

const runner = new ForecastRunner({
  post: (message, transfer) => self.postMessage(message, { transfer }),
  breathe,
  now: () => performance.now(),
});

self.onmessage = (event: MessageEvent<WorkerJob>) => {
  void runner.start(event.data);
};
