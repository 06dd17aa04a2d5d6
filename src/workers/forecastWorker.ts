import { breathe } from './breathe.ts';
import { crewOfPage } from './crewOfPage.ts';
import { ForecastRunner } from './forecastRunner.ts';
import type { StopWork, WorkerJob } from './protocol.ts';

const runner = new ForecastRunner({
  post: (message, transfer) => self.postMessage(message, { transfer }),
  breathe,
  crewOf: crewOfPage,
  now: () => performance.now(),
});

self.onmessage = (event: MessageEvent<WorkerJob | StopWork>) => {
  if ('stop' in event.data) runner.stop();
  else void runner.start(event.data);
};
