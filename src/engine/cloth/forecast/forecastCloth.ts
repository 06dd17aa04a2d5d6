import type { ClothGeometry, ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import { type RowPositions, rowHolds, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type Closeness, type Readings, takeReadings } from './readings.ts';
import { chooseRegion, regionProblem, type SolvedRegion } from './regionProblem.ts';
import { sectionFactors } from './sectionFactors.ts';
import { unevenGeometry } from './unevenThreads.ts';

export type Quality = 'preview' | 'settled';

export interface Forecast {
  readonly geometry: ClothGeometry;
  readonly readings: Readings;
}

/** Shares of cover to about 0.02 and 0.005; take-up to about a hundredth and a thousandth of itself. */
const CLOSENESS: Record<Quality, Closeness> = {
  preview: { coverPoints: 2_000, segments: 4_000 },
  settled: { coverPoints: 60_000, segments: 40_000 },
};

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

/** What a repeated forecast may start from: the heights and offsets found for the sample as it was a moment ago. */
export interface ForecastMemory {
  heights?: HeightsSolution;
  sideways?: SidewaysSolution | null;
  scratch?: Scratch;
}

/**
 * From threads and beat to the cloth on the loom: pick spacing, heights of both systems, sections, readings.
 * Structure, spacing and heights are solved for one repeat where the cloth has one; the weaver's unevenness then moves
 * the picks, and the yarns' their widths.
 * @param memory kept by the caller between forecasts of one sample; makes small changes quick
 * @throws ClothError where the cloth cannot be
 */
export function* forecastCloth(
  problem: ClothProblem,
  quality: Quality,
  memory: ForecastMemory = {},
): Generator<Progress, Forecast> {
  yield { stage: 'spacing', share: 0 };
  const holds = rowHolds(problem);
  const even = rowPositions(problem, false, holds);
  const uneven: RowPositions =
    problem.beat.scatterShare > 0 || problem.beat.tensionLeft ? rowPositions(problem, true, holds) : even;
  yield { stage: 'spacing', share: 1 };

  const region = chooseRegion(problem);
  const heights = regionProblem(problem, region, region.boundary === 'periodic' ? even.rowYMm : uneven.rowYMm);
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
  const settling = { quality, scratch, ...(alike ? { start, startSideways: memory.sideways ?? null } : {}) };
  const { solution, sideways } = yield* settleThreads(heights, planThreads(problem, region), sectionsOf, settling);
  memory.heights = solution;
  memory.sideways = sideways;

  yield { stage: 'sections', share: 0 };
  const sections = yield* paused(sectionsOf(solution), { stage: 'sections', share: 0.5 });
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
  const geometry: ClothGeometry = {
    rows: problem.rows,
    ends: problem.ends,
    periodRows: region.rows,
    periodEnds: region.ends,
    endXMm: Float32Array.from(problem.endXMm),
    rowYMm: Float32Array.from(uneven.rowYMm),
    warp,
    weft,
    residuals: solution.residuals,
  };
  yield { stage: 'readings', share: 0 };
  const readings = yield* paused(takeReadings(problem, geometry, uneven, holds, CLOSENESS[quality]), {
    stage: 'readings',
    share: 0.5,
  });
  return { geometry: yield* paused(unevenGeometry(problem, geometry), { stage: 'readings', share: 0.9 }), readings };
}
