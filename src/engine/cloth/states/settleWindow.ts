import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { bucklingForces } from './buckling.ts';
import { fellTension } from './gatherState.ts';
import { leastRoom } from './leastRoom.ts';
import { mean } from './mean.ts';
import { type SettledSpacing, settleSpacing } from './settleSpacing.ts';
import type { ClothState, StateModel } from './stateTypes.ts';
import { OFF_LOOM, shrinkShare, type TreatmentFacts } from './treatments.ts';

/** A weaver who sees the edges come in further lays the weft in a steeper arc (common practice); not where her arc is told. */
const MOST_DRAW_IN = 0.1;
/** Steps in which the fell's tension is looked for at which a weft takes up all that it was laid longer. */
const TENSION_STEPS = 5;
/** Modulus of elastic yarns and below, N/tex: elastane has 0.01, the softest others 0.15 (see yarn/finishing.ts). */
const ELASTIC_BELOW = 0.05;
/** Length over this share is to spare, and not what the solve leaves open. */
const LEAST_SPARE = 1e-3;

export type WindowStates = Partial<Record<ClothState, SettledSpacing>>;

/** A window (windows.ts) whose spacing is to be settled in one state after another. */
export interface WindowJob {
  readonly problem: ClothProblem;
  readonly region: SolvedRegion;
  /** Where its rows lie on the loom. */
  readonly rowYMm: Float64Array;
  readonly model: StateModel;
  readonly wanted: readonly ClothState[];
  readonly treatment: TreatmentFacts;
  /** Its yarns once they are finished. */
  readonly finished: readonly YarnBody[];
  readonly before?: WindowStates;
}

function* settle(job: WindowJob): Generator<Progress, WindowStates> {
  const { problem, region, rowYMm: y, model, wanted, treatment, finished, before = {} } = job;
  const { firstRow, rows } = region;
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const fellN = fellTension(problem, model);
  const stiffness = Float64Array.from({ length: rows }, (_, row) => {
    return (ofRow(row).finishing?.loomModulusNPerTex ?? 0.5) * ofRow(row).tex;
  });
  const laid = (1 + model.weftSlackShare) * (1 + (problem.weftSlackShare ?? 0));
  const spaces = region.boundary === 'periodic' ? rows : rows - 1;
  const spacesMm = Float64Array.from({ length: spaces }, (_, k) => y[firstRow + k + 1] - y[firstRow + k]);
  const { leastMm, leastWidth } = leastRoom(problem, region, spacesMm);
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[region.firstEnd + end]];
  const endStiffness = Float64Array.from({ length: region.ends }, (_, end) => {
    return (ofEnd(end).finishing?.loomModulusNPerTex ?? 0.5) * ofEnd(end).tex;
  });
  const elastic = Array.from({ length: rows }, (_, row) => (ofRow(row).finishing?.laidStretchShare ?? 0) > 0);
  const common = {
    leastMm,
    leastWidth,
    mostWidth: 1,
    stiffness,
    endStiffness,
    elastic,
    rowBucklesN: bucklingForces(problem, region, y),
    warpOfMean: new Float64Array(region.ends).fill(1),
  };
  const out: WindowStates = {};
  /** A start of another extent is none. */
  const like = (start: SettledSpacing | undefined) =>
    start && start.solution.rows === rows && start.solution.ends === region.ends ? start : undefined;
  const underLoom = (share: number, start: SettledSpacing | undefined) =>
    settleSpacing(
      problem,
      region,
      y,
      {
        ...common,
        leastWidth: problem.weftSlackShare === undefined ? Math.max(leastWidth, 1 - MOST_DRAW_IN) : leastWidth,
        weftPerReedMm: new Float64Array(rows).fill(laid),
        endTensionN: problem.endTensionN,
        rowTensionN: fellN.map((tension) => tension * share),
      },
      start,
    );
  let onLoom = yield* underLoom(1, like(before.onLoom));
  let fellShare = 1;
  // A weft with length to spare is not held: it gives way to the ends, and only then stands out.
  if (problem.weftSlackShare && mean(onLoom.weftOver) > LEAST_SPARE) {
    let [low, high] = [0, 1];
    for (let step = 0; step < TENSION_STEPS; step++) {
      fellShare = step === 0 ? 0 : (low + high) / 2;
      onLoom = yield* underLoom(fellShare, onLoom);
      const spare = mean(onLoom.weftOver) > LEAST_SPARE;
      if (spare && step === 0) break;
      if (spare) high = fellShare;
      else low = fellShare;
    }
  }
  const rowTensionN = fellN.map((tension) => tension * fellShare);
  const slackOf = (end: number) => problem.endSlackShare?.[region.firstEnd + end] ?? 0;
  out.onLoom = { ...onLoom, fellShare, warpOver: Float64Array.from({ length: region.ends }, (_, end) => slackOf(end)) };
  // Lengths at rest: the loom's stretch let go, and what was let off besides.
  const atRest = Float64Array.from({ length: region.ends }, (_, end) => {
    const { tex, finishing } = ofEnd(end);
    const strain = finishing ? problem.endTensionN[region.firstEnd + end] / (finishing.loomModulusNPerTex * tex) : 0;
    return (onLoom.lengths.warpByEnd[end] * (1 + slackOf(end))) / (1 + strain);
  });
  const warp = (own: Float64Array) => {
    const share = mean(own) / mean(onLoom.lengths.warpByEnd);
    return {
      warpMm: onLoom.rowSpacesMm.map((space, k) => space * onLoom.lengths.warpByRow[k] * share),
      warpOfMean: own.map((length) => length / mean(own)),
    };
  };
  // As tight for its count as the fell holds an end: a weft thinner than the ends would break at their tension.
  const meanEndTex = mean(Float64Array.from({ length: region.ends }, (_, end) => ofEnd(end).tex));
  const fellStrain = (row: number) => {
    const { tex, finishing } = ofRow(row);
    // What an elastic yarn is stretched by is told of it.
    if (!finishing || finishing.loomModulusNPerTex < ELASTIC_BELOW || elastic[row]) return 0;
    const tensionN = rowTensionN[firstRow + row] * Math.min(1, tex / meanEndTex);
    return tensionN / (finishing.loomModulusNPerTex * tex);
  };
  // Where it would have drawn in further, it was laid longer. What the fell stretched it by it takes back, as an end does.
  const weft = (row: number) =>
    Math.max(laid, onLoom.lengths.weftByRow[row] * onLoom.widthShare) /
    (1 + fellStrain(row)) /
    (1 + (ofRow(row).finishing?.laidStretchShare ?? 0));
  const kept = (share: number) => ({
    endTensionN: problem.endTensionN.map((tension) => tension * share),
    rowTensionN: rowTensionN.map((tension) => tension * share),
  });
  if (!wanted.includes('offLoom')) return out;
  const offLoom = yield* settleSpacing(
    problem,
    region,
    y,
    {
      ...common,
      ...kept(OFF_LOOM.keepsTension),
      ...warp(atRest),
      weftPerReedMm: Float64Array.from({ length: rows }, (_, r) => weft(r)),
    },
    like(before.offLoom) ?? onLoom,
  );
  out.offLoom = offLoom;
  if (!wanted.includes('finished')) return out;
  const shortened = atRest.map((length, end) => length * (1 - shrinkShare(ofEnd(end), treatment, model.shrinkAt)));
  out.finished = yield* settleSpacing(
    { ...problem, yarns: finished },
    region,
    y,
    {
      ...common,
      // Swollen ends take more of an elastic weft's way, but nothing in a wash stretches it again.
      mostWidth: elastic.includes(true) ? offLoom.widthShare : 1,
      ...kept(treatment.keepsTension),
      ...warp(shortened),
      weftPerReedMm: Float64Array.from(
        { length: rows },
        (_, r) => weft(r) * (1 - shrinkShare(ofRow(r), treatment, model.shrinkAt)),
      ),
    },
    like(before.finished) ?? offLoom,
  );
  return out;
}

/** Spacing of a window in the states wanted. */
export const settleWindow: Work<WindowJob, WindowStates> = { name: 'settleWindow', steps: settle };
