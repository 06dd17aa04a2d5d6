import { answerCheck } from './answerCheck.ts';
import type { CheckJob, CheckReply } from './checkProtocol.ts';

self.onmessage = ({ data: { id, job } }: MessageEvent<{ id: number; job: CheckJob }>) => {
  let reply: CheckReply;
  try {
    reply = { id, answer: answerCheck(job) };
  } catch (error) {
    reply = { id, trouble: error instanceof Error ? error.message : String(error) };
  }
  self.postMessage(reply);
};
