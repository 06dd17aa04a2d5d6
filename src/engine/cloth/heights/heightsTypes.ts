import type { SolveResiduals } from '#engine/cloth/clothTypes.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { CrushLaw } from '#engine/yarn/compression.ts';

/**
 * The threads of a distinct region (a repeat, or the whole cloth) where they lie in plan, before their heights are
 * known. Lengths mm, forces N. Fields over crossings are row-major: index = row * ends + end.
 */
export interface HeightsProblem {
  readonly rows: number;
  readonly ends: number;
  /** rows × ends, warp up on the face. */
  readonly drawdown: Drawdown;
  /** First and last end (inclusive) that a row passes; elsewhere the row is absent. */
  readonly rowFirst: Uint32Array;
  readonly rowLast: Uint32Array;
  /** Strictly ascending. */
  readonly endXMm: Float64Array;
  /** Ascending; rows side by side in one shed share a y. */
  readonly rowYMm: Float64Array;
  /**
   * periodic: the region repeats at periodXMm and periodYMm. mirrored: it is reflected at the centre lines of its
   * outermost threads, so that these lie level there.
   */
  readonly boundary: 'periodic' | 'mirrored';
  readonly periodXMm?: number;
  readonly periodYMm?: number;
  readonly endBendingNmm2: Float64Array;
  readonly rowBendingNmm2: Float64Array;
  readonly endTensionN: Float64Array;
  readonly rowTensionN: Float64Array;
  /** Semi-axes of the section where it is pressed at a crossing. */
  readonly endHalfHeightMm: Float64Array;
  readonly rowHalfHeightMm: Float64Array;
  readonly endHalfWidthMm: Float64Array;
  readonly rowHalfWidthMm: Float64Array;
  /**
   * 1 where fibres give way to what presses, so that a section is flattened along the contact's normal, wherever that points; 0
   * where it keeps its faces up and down, as a strip does. Left out, all keep them.
   */
  readonly endYields?: Uint8Array;
  readonly rowYields?: Uint8Array;
  /**
   * Contact stiffness per end and per row: the force (N) that would press a crossing by that thread's own full height.
   * Left out, sections are rigid.
   */
  readonly endContactStiffnessN?: Float64Array;
  readonly rowContactStiffnessN?: Float64Array;
  /**
   * How sections give under the force of a crossing, per end and per row (alike ones one object). Half heights above are
   * then those at the contact that the law is named for. Left out, sections are rigid, or linear as above.
   */
  readonly endCrush?: readonly CrushLaw[];
  readonly rowCrush?: readonly CrushLaw[];
  /**
   * How far the end of a crossing lies beside its line (to the right), and the row beside its own (up the cloth), where
   * they have moved sideways; row-major. Threads then cross at x + endOffset, y + rowOffset.
   */
  readonly endOffsetMm?: Float64Array;
  readonly rowOffsetMm?: Float64Array;
  /** Cells by which a part of a larger cloth is held flat (levelHold.ts): those that the cloth has there. */
  readonly holdCells?: HoldCells;
}

export interface HoldCells {
  readonly across: number;
  readonly along: number;
}

/** Heights where threads pass the lines in plan that they had before they moved sideways. */
export interface HeightsOnLines {
  readonly warpHeightMm: Float64Array;
  readonly warpSlope: Float64Array;
  readonly weftHeightMm: Float64Array;
  readonly weftSlope: Float64Array;
}

/** Sideways offsets of both systems, as in HeightsProblem. */
export interface CrossingOffsets {
  readonly endOffsetMm: Float64Array;
  readonly rowOffsetMm: Float64Array;
}

export interface HeightsOptions {
  /** preview: heights within about 5 % of D of the settled ones; settled: within 1 %. Default settled. */
  readonly quality?: 'preview' | 'settled';
  /** Solution of a like problem (same rows and ends) to start from. */
  readonly start?: HeightsSolution;
  /** Bounds on the residuals and on the error left, as shares; default 1e-3 and 3e-3. */
  readonly tolerance?: number;
  readonly errorTolerance?: number;
  /**
   * Confinement e over the thread's own stiffness (B/p⁴ + T/12p²), p its mean pitch. It holds layers together and the
   * cloth flat; it takes about a fiftieth of its value from the crimp of a plain weave. Default 0.01.
   */
  readonly confinementShare?: number;
  /** Multiplies the penalties; changes the way to the solution, never the solution. Default 1. */
  readonly penaltyScale?: number;
  readonly maxIterations?: number;
  /**
   * Let the height between two centre lines grow where they cross at a slope (see tiltGaps). Default true; false keeps
   * D, as the small-slope theory of the literature does.
   */
  readonly tiltedContacts?: boolean;
  /**
   * Hold the mid-surface of a mirrored cloth flat on average over some 16 threads, as loom or table do (see LevelHold).
   * Default true; false lets relief rise as far as tension, bending and confinement let it.
   */
  readonly heldFlat?: boolean;
  /** Leave the wrap at zero. */
  readonly withoutWrap?: boolean;
  /**
   * Finds from the heights, not yet wrapped, how far threads move sideways (null where none does); crossings are then drawn
   * there, their heights as they were.
   */
  readonly displace?: (solution: HeightsSolution) => Generator<void, CrossingOffsets | null>;
  /**
   * Memory to work in. The solution's arrays belong to it too: the next solve in the same memory overwrites them (it may
   * start from them all the same).
   */
  readonly scratch?: Scratch;
}

export interface HeightsSolution {
  readonly rows: number;
  readonly ends: number;
  readonly warpHeightMm: Float64Array;
  readonly warpSlope: Float64Array;
  readonly weftHeightMm: Float64Array;
  readonly weftSlope: Float64Array;
  /** Wrap of the segment that starts at the node, as in CurveField. */
  readonly warpWrapStartMm: Float64Array;
  readonly warpWrapEndMm: Float64Array;
  readonly weftWrapStartMm: Float64Array;
  readonly weftWrapEndMm: Float64Array;
  /** Height of the mean mid-surface, from which heights count, over the level at which the cloth is held (levelHold.ts). */
  readonly levelMm: number;
  /** Force with which the two threads of a crossing press on each other, 0 where they part or the row is absent. */
  readonly contactForceN: Float64Array;
  /** Load that holds the cloth flat, as coefficients of the solver's own; serves to start from. */
  readonly holdLoad: Float64Array;
  /** Forces of like threads that lie over one another, in the order in which they are found; serves to start from. */
  readonly likeForceN?: Float64Array;
  /** The same heights on the lines of the grid, where threads have moved sideways (heights above are at the crossings). */
  readonly onLines?: HeightsOnLines;
  readonly residuals: SolveResiduals;
}
