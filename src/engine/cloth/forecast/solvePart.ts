import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import type { SolvedFields } from './fieldsAsBefore.ts';
import type { Quality } from './forecastCloth.ts';
import type { SolvedRegion } from './regionProblem.ts';
import { type FieldsMemory, solvedFields, type WholeCloth } from './solvedFields.ts';

/** A part of a cloth, reflected at its edges, to be solved by itself. */
export interface PartJob {
  readonly problem: ClothProblem;
  readonly rowYMm: Float64Array;
  readonly quality: Quality;
  /** What the same part was when it was solved last. */
  readonly start?: PartStart;
  readonly whole?: WholeCloth;
}

/** What a part is to start from when it is solved again; row-major over its crossings. */
export interface PartStart {
  readonly rows: number;
  readonly ends: number;
  readonly warpHeightMm: Float32Array;
  readonly warpSlope: Float32Array;
  readonly weftHeightMm: Float32Array;
  readonly weftSlope: Float32Array;
  readonly contactForceN: Float32Array;
  readonly holdLoad: Float64Array;
  readonly likeForceN?: Float32Array;
  /** Null where no thread leaves its line. */
  readonly offsets: Readonly<Record<OffsetField, Float32Array>> | null;
}

type OffsetField = 'endOffsetMm' | 'endOffsetSlope' | 'rowOffsetMm' | 'rowOffsetSlope';

export interface SolvedPart {
  readonly fields: SolvedFields;
  readonly start: PartStart;
  /** What its heights count from, over the level at which the cloth is held, mm. */
  readonly levelMm: number;
}

const wide = (values: Float32Array): Float64Array => Float64Array.from(values);
const narrow = (values: Float64Array): Float32Array => Float32Array.from(values);

const NONE = new Float64Array(0);

function memoryOf({ offsets, ...start }: PartStart): FieldsMemory {
  const heights: HeightsSolution = {
    rows: start.rows,
    ends: start.ends,
    warpHeightMm: wide(start.warpHeightMm),
    warpSlope: wide(start.warpSlope),
    weftHeightMm: wide(start.weftHeightMm),
    weftSlope: wide(start.weftSlope),
    contactForceN: wide(start.contactForceN),
    holdLoad: start.holdLoad,
    ...(start.likeForceN ? { likeForceN: wide(start.likeForceN) } : {}),
    // A start is not asked for these.
    ...{ warpWrapStartMm: NONE, warpWrapEndMm: NONE, weftWrapStartMm: NONE, weftWrapEndMm: NONE, levelMm: 0 },
    residuals: { iterations: 0, penetration: 0, forceImbalance: 0, complementarity: 0, converged: false },
  };
  const sideways: SidewaysSolution | null = offsets && {
    endOffsetMm: wide(offsets.endOffsetMm),
    endOffsetSlope: wide(offsets.endOffsetSlope),
    rowOffsetMm: wide(offsets.rowOffsetMm),
    rowOffsetSlope: wide(offsets.rowOffsetSlope),
    ...{ iterations: 0, converged: false },
  };
  return { heights, sideways };
}

function startFor({ heights, sideways }: Required<Pick<FieldsMemory, 'heights' | 'sideways'>>): PartStart {
  return {
    rows: heights.rows,
    ends: heights.ends,
    warpHeightMm: narrow(heights.warpHeightMm),
    warpSlope: narrow(heights.warpSlope),
    weftHeightMm: narrow(heights.weftHeightMm),
    weftSlope: narrow(heights.weftSlope),
    contactForceN: narrow(heights.contactForceN),
    holdLoad: heights.holdLoad,
    ...(heights.likeForceN ? { likeForceN: narrow(heights.likeForceN) } : {}),
    offsets: sideways && {
      endOffsetMm: narrow(sideways.endOffsetMm),
      endOffsetSlope: narrow(sideways.endOffsetSlope),
      rowOffsetMm: narrow(sideways.rowOffsetMm),
      rowOffsetSlope: narrow(sideways.rowOffsetSlope),
    },
  };
}

function* solve(job: PartJob, scratch: Scratch): Generator<unknown, SolvedPart> {
  const { problem, rowYMm, quality, start, whole } = job;
  const { rows, ends } = problem;
  const region: SolvedRegion = { firstRow: 0, rows, firstEnd: 0, ends, boundary: 'mirrored' };
  const memory: FieldsMemory = { ...(start ? memoryOf(start) : {}), scratch };
  const fields = yield* solvedFields(problem, region, rowYMm, quality, memory, whole);
  const { heights, sideways = null } = memory;
  if (!heights) throw new Error('part of a cloth: was solved without heights');
  return { fields, start: startFor({ heights, sideways }), levelMm: heights.levelMm };
}

/** Heights, offsets and sections of a part of a cloth. */
export const solvePart: Work<PartJob, SolvedPart> = { name: 'solvePart', steps: solve };
