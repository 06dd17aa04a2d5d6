import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/**
 * Axes: x across the cloth along the weft (end 0 leftmost on the face), y along the warp (row 0 lowest, woven first),
 * z out of the face towards the viewer. Lengths mm, forces N. A row is one pass of a weft, an end one warp thread.
 * A field over crossings is row-major: index = row * ends + end.
 */

/** How a row's weft leaves its last end; `behind` and `tied` go on to where it is laid next, loose or caught on the way. */
export const RowEnd = { selvedge: 0, turn: 1, interlock: 2, slit: 3, cut: 4, behind: 5, tied: 6 } as const;
export type RowEnd = (typeof RowEnd)[keyof typeof RowEnd];

/** What is done with the tails of a weft that is cut at both edges. */
export const RowTails = { fringe: 0, tucked: 1, folded: 2 } as const;
export type RowTails = (typeof RowTails)[keyof typeof RowTails];

export interface BeatPlan {
  /** Per pick, 0 (as loose as still holds) .. 1 (as hard as the loom allows); 0.7 is 'fairly firm'. */
  readonly firmness: Float64Array;
  /** Standard deviation of the beat from pick to pick, as a share of the resistance R. */
  readonly scatterShare: number;
  /** Designer's own picks per cm, where she fixes it; the beat is then what it needs. */
  readonly fixedPicksPerCm?: number;
  readonly seed: number;
  /** Per pick, share of the warp's tension against which it is beaten; left out where the loom never stood. */
  readonly tensionLeft?: Float64Array;
  /** Resistance that this weaver on this loom overcomes over what a firmness is taken to mean; 1 where left out. */
  readonly resistanceFactor?: number;
  /** Factor within which the resistance is known, 80 %; what is known of no loom in particular where left out. */
  readonly resistanceDoubt?: number;
}

export interface ClothProblem {
  readonly rows: number;
  readonly ends: number;
  /** rows × ends, warp up on the face; meaningless where the row is absent. */
  readonly drawdown: Drawdown;
  readonly yarns: readonly YarnBody[];
  /** Index into `yarns`, per end and per row. */
  readonly endYarn: Uint16Array;
  readonly rowYarn: Uint16Array;
  /** Pick of each row (rows of one pick share it); picks ascend. */
  readonly rowPick: Uint32Array;
  /** First and last end (inclusive) that a row passes. */
  readonly rowFirst: Uint32Array;
  readonly rowLast: Uint32Array;
  /** 1 where the weft enters from the right. */
  readonly rowEntersRight: Uint8Array;
  readonly rowEnd: Uint8Array;
  readonly rowTailMm: Float32Array;
  /** `RowTails` of each row; left out where every tail is fringe. */
  readonly rowTails?: Uint8Array;
  /** Centre of each end on the loom, ascending. */
  readonly endXMm: Float64Array;
  /** The same between the reed's wires, and once its marks have closed; left out where ends are spaced evenly. */
  readonly reedXMm?: Float64Array;
  readonly evenXMm?: Float64Array;
  /** Width of each end over its contact width where its neighbours press it; left out where all have room. */
  readonly endSqueeze?: Float64Array;
  readonly endTensionN: Float64Array;
  /** Share by which each end is let off longer than the others, from a second beam; left out where there is none. */
  readonly endSlackShare?: Float64Array;
  readonly rowTensionN: Float64Array;
  /** Length of weft laid into the shed over the way that it passes, less 1, where the weaver's arc is told. */
  readonly weftSlackShare?: number;
  readonly beat: BeatPlan;
}

/**
 * A family of curves over the distinct crossings: where each thread's centre line runs.
 * Between a node and the next along the thread, at fraction u of the pitch p (mm):
 *   z(u) = h00 z0 + h10 p s0 + h01 z1 + h11 p s1 + u²(1−u)² [(1−u) wrapStart + u wrapEnd]
 * with the cubic Hermite basis; the last term bends the thread round the section that it crosses (both belong to the
 * segment that starts at the node). The sideways offset is a cubic Hermite curve likewise, without wrap.
 */
export interface CurveField {
  readonly heightMm: Float32Array;
  readonly slope: Float32Array;
  readonly offsetMm: Float32Array;
  readonly offsetSlope: Float32Array;
  readonly wrapStartMm: Float32Array;
  readonly wrapEndMm: Float32Array;
  /** Section at the node over the yarn's contact width and height; a step u²(3 − 2u) between nodes, smooth as light sees it. */
  readonly widthFactor: Float32Array;
  readonly heightFactor: Float32Array;
  /** 1 where the stretch from the node to the thread's next has been cut away; left out where nothing has. */
  readonly gone?: Uint8Array;
}

/** Where a thread was cut after the loom: it stands out from its last crossing along its own way. */
export interface CutEnd {
  readonly warp: boolean;
  readonly thread: number;
  /** Of an end: number of the line of rows, from the first up; of a row: the end. */
  readonly crossing: number;
  /** Which way it runs out: 1 up or to the right. */
  readonly direction: 1 | -1;
  readonly lengthMm: number;
}

export interface SolveResiduals {
  readonly iterations: number;
  /** Worst penetration at a contact, as a share of its half-thickness sum D. */
  readonly penetration: number;
  /** Worst force imbalance at a node over the mean contact force. */
  readonly forceImbalance: number;
  readonly complementarity: number;
  readonly converged: boolean;
}

/** Rows from .. to − 1 of a cloth, and the kinds of their crossings. */
export interface KindBand {
  readonly from: number;
  readonly to: number;
  /** Kind of each crossing by the band's own numbers, row-major; with the row after the last where the cloth goes on. */
  readonly kindOf: Uint32Array;
  /** The cloth's numbers of these kinds. */
  readonly globalOf: Uint32Array;
}

/** Curves of a large cloth without a repeat by kinds of crossing: laid out where they are wanted (kinds/kindFields.ts). */
export interface KindFields {
  readonly bands: readonly KindBand[];
  /** KIND_NUMBERS of each kind. */
  readonly known: Float32Array;
  /** One over the mean space either side of each end and row, per mm: slopes are kept as what they rise over it. */
  readonly perXMm: Float64Array;
  readonly perYMm: Float64Array;
}

/** Which rows fields hold that do not hold all: whole ones, and of every row its first and last crossing behind them. */
export interface HeldRows {
  /** Where each row is among those held, −1 where it is not. */
  readonly place: Int32Array;
  /** Rows at which the cloth is looked at: held with the two before and the three after. */
  readonly looks: Uint32Array;
}

export interface ClothGeometry {
  readonly rows: number;
  readonly ends: number;
  /** Distinct crossings held by the fields: crossing (row, end) is at (row % periodRows) * periodEnds + end % periodEnds. */
  readonly periodRows: number;
  readonly periodEnds: number;
  readonly endXMm: Float32Array;
  readonly rowYMm: Float32Array;
  readonly warp: CurveField;
  readonly weft: CurveField;
  readonly residuals: SolveResiduals;
  readonly cutEnds?: readonly CutEnd[];
  /** All crossings, where the fields hold `held` alone: heldCrossings.ts says where. */
  readonly byKinds?: { readonly fields: KindFields; readonly held: HeldRows };
}

/** What a long computation yields between steps, so that its caller can show progress or stop it. */
export interface Progress {
  readonly stage: 'spacing' | 'states' | 'heights' | 'sections' | 'readings' | 'packing';
  /** 0..1 within the stage. */
  readonly share: number;
  /** Where work goes on elsewhere: there is nothing to do before this resolves (it never rejects). */
  readonly until?: Promise<void>;
}
