import { readFileSync } from 'node:fs';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { chooseRegion, regionProblem } from '#engine/cloth/forecast/regionProblem.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type ClothStates, settleStates } from '#engine/cloth/states/clothStates.ts';
import { problemInState, type StateModel } from '#engine/cloth/states/stateTypes.ts';
import { threadLengths } from '#engine/cloth/states/threadLengths.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody, YarnFacts } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

/** A cloth that somebody wove and measured, as far as it is told. */
export interface MeasuredCloth {
  readonly weave: Drawdown;
  readonly warp: readonly YarnBody[];
  readonly weft: readonly YarnBody[];
  readonly endsPerCm: number;
  /** Where told; else the beat decides. */
  readonly picksPerCm?: number;
  readonly firmness?: number;
  /** Per end; 0.5 cN/tex by itself (common practice). */
  readonly tensionN?: number;
  /** By how much longer than the width the weft is laid, in arcs; none where left out. */
  readonly weftSlackShare?: number;
  readonly treatment: Treatment;
}

/** A preset yarn, with what is told differently of this one. */
export function presetYarn(id: string, changes: Partial<YarnFacts> = {}): YarnBody {
  const record = JSON.parse(readFileSync(`presets/yarns/${id}.json`, 'utf8')) as YarnRecord;
  return yarnBody({ ...yarnFactsOf(record), ...changes });
}

export function problemOf(cloth: MeasuredCloth): ClothProblem {
  const [first] = cloth.warp;
  const least = (period: number, count: number) => Math.ceil((count + 1) / period) * period;
  const problem = clothProblem({
    weave: cloth.weave,
    rows: least(cloth.weave.rows * cloth.weft.length, 48),
    ends: least(cloth.weave.ends * cloth.warp.length, 48),
    endsPerCm: cloth.endsPerCm,
    warp: cloth.warp,
    weft: cloth.weft,
    endTensionN: cloth.tensionN ?? 0.005 * first.tex,
    firmness: cloth.firmness ?? 0.7,
    ...(cloth.picksPerCm === undefined ? {} : { fixedPicksPerCm: cloth.picksPerCm }),
  });
  return cloth.weftSlackShare === undefined ? problem : { ...problem, weftSlackShare: cloth.weftSlackShare };
}

export interface Losses {
  /** Widths over that in the reed, as losses. */
  readonly fell: number;
  readonly offWidth: number;
  readonly finishedWidth: number;
  /** Lengths over that on the loom under tension, likewise. */
  readonly offLength: number;
  readonly finishedLength: number;
  /** Length of warp over that of the cloth off the loom, as a share of the warp. */
  readonly warpTakeUp: number;
}

export function lossesOf(cloth: MeasuredCloth, model?: StateModel): Losses {
  const problem = problemOf(cloth);
  const { rowYMm } = rowPositions(problem, false);
  const states = finish(settleStates(problem, rowYMm, { treatment: cloth.treatment, ...(model ? { model } : {}) }));
  const { onLoom, offLoom, finished } = states;
  const length = ({ rowYMm }: ClothStates['onLoom']) => rowYMm[rowYMm.length - 1];
  const heights = regionProblem(problemInState(problem, offLoom), chooseRegion(problem), offLoom.rowYMm);
  const { warpByEnd } = threadLengths(heights, finish(solveHeights(heights)));
  return {
    fell: 1 - onLoom.widthShare,
    offWidth: 1 - offLoom.widthShare,
    finishedWidth: 1 - finished.widthShare,
    offLength: 1 - length(offLoom) / length(onLoom),
    finishedLength: 1 - length(finished) / length(onLoom),
    warpTakeUp: 1 - warpByEnd.length / warpByEnd.reduce((sum, each) => sum + each, 0),
  };
}
