import { type Crossings, keepApart } from '#engine/cloth/apart/keepApart.ts';
import type { ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution, HoldCells } from '#engine/cloth/heights/heightsTypes.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { partLikes } from '#engine/cloth/sideways/partLikes.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import type { SolvedFields } from './fieldsAsBefore.ts';
import type { Quality } from './forecastCloth.ts';
import { regionProblem, type SolvedRegion } from './regionProblem.ts';
import { sectionFactors } from './sectionFactors.ts';

/** The solved region's fields; a repeat is turned so that crossing (row, end) of the cloth is at its remainder. */
function* curveField(
  region: SolvedRegion,
  heightMm: Float64Array,
  slope: Float64Array,
  wrapStartMm: Float64Array,
  wrapEndMm: Float64Array,
  widthFactor: Float32Array,
  heightFactor: Float32Array,
  offsetMm: Float64Array | Float32Array,
  offsetSlope: Float64Array | Float32Array,
): Generator<void, CurveField> {
  const turn = region.boundary === 'periodic' ? region.firstRow % region.rows : 0;
  function* turned(source: Float64Array | Float32Array): Generator<void, Float32Array> {
    if (turn === 0 && source instanceof Float32Array) return source;
    const { rows, ends } = region;
    const out = new Float32Array(source.length);
    yield* inBands(rows, ends, (from, to) => {
      for (let row = from; row < to; row++)
        out.set(source.subarray(row * ends, (row + 1) * ends), ((row + turn) % rows) * ends);
    });
    return out;
  }
  return {
    heightMm: yield* turned(heightMm),
    slope: yield* turned(slope),
    offsetMm: yield* turned(offsetMm),
    offsetSlope: yield* turned(offsetSlope),
    wrapStartMm: yield* turned(wrapStartMm),
    wrapEndMm: yield* turned(wrapEndMm),
    widthFactor: yield* turned(widthFactor),
    heightFactor: yield* turned(heightFactor),
  };
}

/** What a repeated solve of a region may start from. */
export interface FieldsMemory {
  heights?: HeightsSolution;
  sideways?: SidewaysSolution | null;
  scratch?: Scratch;
}

/** What a part of a cloth is told of the whole, so that it comes out as it does there. */
export interface WholeCloth {
  /** How many they are says how closely offsets are settled. */
  readonly crossings: number;
  readonly holdCells: HoldCells;
  /** Crossings of the part at which threads are to be parted: beyond, what is drawn comes from another part. */
  readonly parted: Crossings;
}

/**
 * Heights, offsets and sections of one region of the cloth.
 * @param whole of the cloth that the problem is a part of
 */
export function* solvedFields(
  problem: ClothProblem,
  region: SolvedRegion,
  regionYMm: Float64Array,
  quality: Quality,
  memory: FieldsMemory,
  whole?: WholeCloth,
): Generator<Progress, SolvedFields> {
  const alone = regionProblem(problem, region, regionYMm);
  const heights = whole ? { ...alone, holdCells: whole.holdCells } : alone;
  const start = memory.heights;
  const alike = start !== undefined && start.rows === region.rows && start.ends === region.ends;
  memory.scratch ??= new Scratch();
  const { scratch } = memory;
  const regional: ClothProblem =
    region.firstRow === 0
      ? problem
      : {
          ...problem,
          rowYarn: problem.rowYarn.subarray(region.firstRow),
          rowFirst: heights.rowFirst,
          rowLast: heights.rowLast,
        };
  const sectionsOf = (solved: HeightsSolution) => sectionFactors(heights, regional, solved);
  const { crossings: ofCrossings } = whole ?? {};
  const settling = {
    quality,
    scratch,
    ofCrossings,
    ...(alike ? { start, startSideways: memory.sideways ?? null } : {}),
  };
  const threads = planThreads(problem, region);
  const { solution, sideways } = yield* settleThreads(heights, threads, sectionsOf, settling);
  memory.heights = solution;
  memory.sideways = sideways;

  yield { stage: 'sections', share: 0 };
  const sections = yield* paused(sectionsOf(solution), { stage: 'sections', share: 0.5 });
  yield* paused(partLikes(heights, solution, sections, threads, sideways), { stage: 'sections', share: 0.7 });
  // Where no thread leaves its line sideways one field of zeros serves for all.
  const none = new Float32Array(region.rows * region.ends);
  const lines = solution.onLines ?? solution;
  const fields: Progress = { stage: 'sections', share: 0.9 };
  const warp = yield* paused(
    curveField(
      region,
      lines.warpHeightMm,
      lines.warpSlope,
      solution.warpWrapStartMm,
      solution.warpWrapEndMm,
      sections.warpWidth,
      sections.warpHeight,
      sideways?.endOffsetMm ?? none,
      sideways?.endOffsetSlope ?? none,
    ),
    fields,
  );
  const weft = yield* paused(
    curveField(
      region,
      lines.weftHeightMm,
      lines.weftSlope,
      solution.weftWrapStartMm,
      solution.weftWrapEndMm,
      sections.weftWidth,
      sections.weftHeight,
      sideways?.rowOffsetMm ?? none,
      sideways?.rowOffsetSlope ?? none,
    ),
    fields,
  );
  // A preview shows where threads lie; that they keep clear of one another to a hair can wait.
  if (quality === 'settled') {
    const { rows: periodRows, ends: periodEnds } = region;
    const there = { periodRows, periodEnds, endXMm: problem.endXMm, rowYMm: regionYMm, warp, weft };
    yield* paused(keepApart(problem, there, sideways ? 'anyhow' : 'upright', whole?.parted), {
      stage: 'sections',
      share: 0.95,
    });
  }
  return { warp, weft, residuals: solution.residuals };
}
