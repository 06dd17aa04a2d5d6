import type { ForeignSection } from '#document/schema/sampleSchema.ts';

/** Linear units of the format; all lengths are kept in mm here. */
export const MM_OF_UNIT = { decipoints: 25.4 / 720, inches: 25.4, centimeters: 10 } as const;
export type InterchangeUnit = keyof typeof MM_OF_UNIT;

/** What a thread set, warp or weft, is said to be. */
export interface InterchangeThreads {
  readonly count: number;
  /** Colour of each thread, an index into `palette`; -1 where the file names none. */
  readonly colour: Int32Array;
  /** Of each thread, mm; NaN where the file says nothing. */
  readonly thicknessMm: Float64Array;
  /** Room of each thread, middle to middle, mm; NaN where the file says nothing. */
  readonly spacingMm: Float64Array;
}

/**
 * A draft as the interchange format has it: shafts, treadles, ends and picks count from 1 in the lists' members; the
 * lists' places are ends, picks and treadles in order.
 */
export interface InterchangeDraft {
  readonly title: string;
  readonly notes: readonly string[];
  readonly shafts: number;
  readonly treadles: number;
  readonly risingShed: boolean;
  readonly warp: InterchangeThreads;
  readonly weft: InterchangeThreads;
  /** "#rrggbb". */
  readonly palette: readonly string[];
  /** Shafts of each end; mostly one, none where the end is on none. */
  readonly threading: readonly (readonly number[])[];
  /** Shafts of each treadle, and treadles of each pick; both or neither. */
  readonly tieUp: readonly (readonly number[])[] | undefined;
  readonly treadling: readonly (readonly number[])[] | undefined;
  /** Shafts raised at each pick. */
  readonly liftPlan: readonly (readonly number[])[] | undefined;
  /** Sections that mean nothing here, as they stood. */
  readonly foreign: readonly ForeignSection[];
}
