import type { BendByHand, BendReport, CutResult, Cutting } from '#engine/cloth/after/afterTypes.ts';
import type { ClothGeometry, ClothProblem, Progress, SolveResiduals } from '#engine/cloth/clothTypes.ts';
import type { Quality, StateWanted } from '#engine/cloth/forecast/forecastCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { ClothRegion } from '#engine/cloth/region.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import type { Turns } from '#engine/packing/far/turnColour.ts';
import type { Leaf } from '#engine/packing/layLeaf.ts';
import type { PackedCloth, YarnMaterial } from '#engine/packing/packedCloth.ts';

/** Asks for a forecast. A job of a newer revision ends those of older ones, which then send nothing more. */
export interface ForecastJob {
  readonly jobId: number;
  /** Ascends with every change of the sample. */
  readonly revision: number;
  readonly region: ClothRegion | 'whole';
  /** preview: heights within 5 % of D, then done; settled: a preview comes first as `partial`. */
  readonly quality: Quality;
  /** Whether what the settled cloth is from afar is wanted as well. */
  readonly far?: boolean;
  readonly problem: ClothProblem;
  /** On the loom by itself. */
  readonly state?: StateWanted;
  /** Parallel to `problem.yarns`. */
  readonly materials: readonly YarnMaterial[];
  /** Metal leaf pressed on, in order. */
  readonly leaves?: readonly Leaf[];
  /** Clipping and cuts after the loom, in order; of the whole cloth only. */
  readonly cuttings?: readonly Cutting[];
  /** Wefts bent by hand after all cutting; of the whole cloth only. */
  readonly bends?: readonly BendByHand[];
  /** Threads that may share the work, where it is large; 1 for none. As many as the machine has by itself. */
  readonly hands?: number;
}

/** Asks what a cloth that is settled already is from afar; of revisions as a forecast. Answered by `far` or `failed`. */
export interface FarJob {
  readonly jobId: number;
  readonly revision: number;
  readonly packed: PackedCloth;
}

export type WorkerJob = ForecastJob | FarJob;

export interface ForecastResult {
  readonly geometry: Pick<ClothGeometry, 'rows' | 'ends' | 'endXMm' | 'rowYMm'>;
  readonly residuals: SolveResiduals;
  readonly readings: Readings;
  readonly packed: PackedCloth;
  /** What clipping and cuts made of it, where there were any. */
  readonly cut?: CutResult;
  /** What came of each bend, where there were any. */
  readonly bends?: readonly BendReport[];
}

/** Ends what runs; the worker then waits for the next job. */
export interface StopWork {
  readonly stop: true;
}

export type ForecastMessage =
  | { readonly kind: 'progress'; readonly jobId: number; readonly revision: number; readonly progress: Progress }
  | { readonly kind: 'partial'; readonly jobId: number; readonly revision: number; readonly result: ForecastResult }
  | { readonly kind: 'done'; readonly jobId: number; readonly revision: number; readonly result: ForecastResult }
  /** Follows the settled cloth: what it is where threads are finer than a pixel, then how its colour turns. */
  | { readonly kind: 'far'; readonly jobId: number; readonly revision: number; readonly far: FarCloth }
  | { readonly kind: 'turns'; readonly jobId: number; readonly revision: number; readonly turns: Turns }
  /** Last of all: where yarn shows that the draft hides. */
  | { readonly kind: 'grin'; readonly jobId: number; readonly revision: number; readonly grin: GrinTable }
  | {
      readonly kind: 'failed';
      readonly jobId: number;
      readonly revision: number;
      readonly where: string;
      readonly why: string;
    };
