import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import { type FlatCloth, noticedFrom } from '#engine/weave/faults/noticedFrom.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import { smallerTieUp } from '#engine/weave/fit/smallerTieUp.ts';
import type { CheckAnswers, CheckJob, FitAnswer, FlatClothSent } from './checkProtocol.ts';

/** Does what was asked. @throws DraftError where loom and drawdown do not go together. */
export function answerCheck(job: CheckJob): CheckAnswers[CheckJob['kind']] {
  switch (job.kind) {
    case 'check':
      return checkCloth(job.cloth, job.floatLimitMm);
    case 'fit':
      return nearest(job);
    case 'tieUp':
      return smallerTieUp(job.liftPlan, job.shafts);
    case 'notice': {
      const { right, faulty, place, spreadPerMm } = job;
      return noticedFrom(flatCloth(right), flatCloth(faulty), place, (distanceMm) => spreadPerMm * distanceMm);
    }
  }
}

function nearest({ drawdown, threading, shafts, tieUp }: Extract<CheckJob, { kind: 'fit' }>): FitAnswer {
  if (!tieUp) {
    const found = fitToThreading(drawdown, threading, shafts);
    return { ...found, lifts: found.liftPlan };
  }
  const { treadling, ...found } = fitToTieUp(drawdown, threading, tieUp, { treadlesAtOnce: 'any' });
  return { ...found, lifts: treadling };
}

function flatCloth({ drawdown, endYarn, rowYarn, colours, widthsMm, endXMm, rowYMm }: FlatClothSent): FlatCloth {
  return {
    drawdown,
    endXMm,
    rowYMm,
    endColour: (end) => colours[endYarn[end]],
    rowColour: (row) => colours[rowYarn[row]],
    endWidthMm: (end) => widthsMm[endYarn[end]],
    rowWidthMm: (row) => widthsMm[rowYarn[row]],
  };
}
