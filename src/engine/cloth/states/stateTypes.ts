import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { REED_MARKS_CLOSED, type ReedStage } from '#engine/cloth/reed/closing.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** Under the loom's tension; some hours off it; after its finish. */
export type ClothState = 'onLoom' | 'offLoom' | 'finished';

/** Where the threads of a state lie in plan, what pulls on them and what they have become. */
export interface StateSpacing {
  /** Width over that in the reed. */
  readonly widthShare: number;
  /** The same at each row: the edge eases from one weave's draw-in to the next one's. */
  readonly widthByRow: Float64Array;
  /** Row positions from the first, mm, where the beat is even. */
  readonly rowYMm: Float64Array;
  /** Each space between rows over what it was on the loom. */
  readonly spaceShare: Float64Array;
  readonly endTensionN: Float64Array;
  readonly rowTensionN: Float64Array;
  /** Parallel to the problem's yarns. */
  readonly yarns: readonly YarnBody[];
  readonly reedMarks: ReedStage;
  /** Length of each row's weft that the cloth does not take up, as a share: it stands proud. */
  readonly weftOver: Float64Array;
  /** The same of each end: what a second beam lets off, and what others shrink more. */
  readonly warpOver: Float64Array;
}

/** What the model of states takes for given; each is known to a range only. */
export interface StateModel {
  /** Length of weft laid into the shed over the width in the reed, less 1. */
  readonly weftSlackShare: number;
  /** Tension of the weft between fell and reed over that of an end: the edge's ends bear it and hold the cloth out. */
  readonly fellTensionShare: number;
  /** Of the width gained in water, what stays. */
  readonly swellingKept: number;
  /** Within each yarn's range of shrinkage, 0 least .. 1 most. */
  readonly shrinkAt: number;
  /** On the thickness of all yarns. */
  readonly thicknessFactor: number;
  /** On the warp's tension. */
  readonly tensionFactor: number;
  /** On the force that presses a section flat. */
  readonly hardnessFactor: number;
}

/** Rows laid by an uneven beat, as a state moves them: each space by its own share. */
export function rowsInState(rowYMm: Float64Array, { spaceShare }: StateSpacing): Float64Array {
  const out = new Float64Array(rowYMm.length);
  for (let k = 0; k < spaceShare.length; k++) out[k + 1] = out[k] + (rowYMm[k + 1] - rowYMm[k]) * spaceShare[k];
  return out;
}

/** The cloth's problem as it is in a state: threads at their places, tensions and thicknesses there. */
export function problemInState(problem: ClothProblem, state: StateSpacing): ClothProblem {
  const { widthShare, endTensionN, rowTensionN, yarns, reedMarks } = state;
  const { endXMm, reedXMm, evenXMm } = problem;
  // On the loom each end has gone its share of the way from its dent; further on it goes the same way further.
  const further = REED_MARKS_CLOSED[reedMarks] / REED_MARKS_CLOSED.onLoom;
  const inPlan = reedXMm ? endXMm.map((x, end) => reedXMm[end] + (x - reedXMm[end]) * further) : endXMm;
  const narrowed = (x: Float64Array) => x.map((mm) => mm * widthShare);
  return {
    ...problem,
    yarns,
    endTensionN,
    rowTensionN,
    endXMm: narrowed(inPlan),
    ...(reedXMm ? { reedXMm: narrowed(reedXMm) } : {}),
    ...(evenXMm ? { evenXMm: narrowed(evenXMm) } : {}),
  };
}
