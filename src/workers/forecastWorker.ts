import { breathe } from './breathe.ts';
import { crewOfPage } from './crewOfPage.ts';
import { ForecastRunner } from './forecastRunner.ts';
import type { WorkerJob } from './protocol.ts';

const runner = new ForecastRunner({
  post: (message, transfer) => self.postMessage(message, { transfer }),
  breathe,
  crewOf: crewOfPage,
  now: () => performance.now(),
});

self.onmessage = (event: MessageEvent<WorkerJob>) => {
  void runner.start(event.data);
};
