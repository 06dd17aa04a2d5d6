import { answerCheck } from './answerCheck.ts';
import type { CheckJob, CheckReply } from './checkProtocol.ts';
import { PRACTICE_ROUNDS, practise } from './practice.ts';

self.onmessage = ({ data: { id, job } }: MessageEvent<{ id: number; job: CheckJob }>) => {
  let reply: CheckReply;
  try {
    reply = { id, answer: answerCheck(job) };
  } catch (error) {
    reply = { id, trouble: error instanceof Error ? error.message : String(error) };
  }
  self.postMessage(reply);
};

/** Round by round, so that a question which comes meanwhile is answered first. */
function practiseFor(rounds: number): void {
  if (rounds === 0) return;
  practise();
  setTimeout(() => practiseFor(rounds - 1), 0);
}
setTimeout(() => practiseFor(PRACTICE_ROUNDS), 0);
