import type { ClothGeometry, ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { type RowPositions, rowHolds, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { mechanicalPeriod } from './mechanicalPeriod.ts';
import { type Closeness, type Readings, takeReadings } from './readings.ts';
import { pressedHalfWidths, sectionFactors } from './sectionFactors.ts';
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

/** Rows at the start of a cloth that have fewer rows before them than hold a row in its middle. */
const STARTING_ROWS = 8;

/** Which part of the cloth is solved: one repeat from its middle, or all of it. */
interface Region {
  readonly firstRow: number;
  readonly rows: number;
  readonly ends: number;
  readonly boundary: 'periodic' | 'mirrored';
}

function chooseRegion(problem: ClothProblem): Region {
  const period = mechanicalPeriod(problem);
  const skipped = Math.ceil(STARTING_ROWS / period.rows) * period.rows;
  const repeats = skipped + period.rows < problem.rows && period.ends < problem.ends;
  if (!repeats) return { firstRow: 0, rows: problem.rows, ends: problem.ends, boundary: 'mirrored' };
  return { firstRow: skipped, rows: period.rows, ends: period.ends, boundary: 'periodic' };
}

function perThread(count: number, body: (index: number) => YarnBody, value: (body: YarnBody) => number): Float64Array {
  return Float64Array.from({ length: count }, (_, index) => value(body(index)));
}

/** The region as the heights solver takes it. `rowYMm` are the structure's own positions over the whole cloth. */
function heightsProblem(problem: ClothProblem, region: Region, rowYMm: Float64Array): HeightsProblem {
  const { firstRow, rows, ends } = region;
  const whole = region.boundary === 'mirrored';
  const drawdown = whole ? problem.drawdown : createDrawdown(rows, ends);
  if (!whole) {
    for (let row = 0; row < rows; row++) {
      for (let end = 0; end < ends; end++) {
        setWarpUp(drawdown, row, end, isWarpUp(problem.drawdown, firstRow + row, end));
      }
    }
  }
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[end]];
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const endXMm = problem.endXMm.slice(0, ends);
  const regionYMm = Float64Array.from({ length: rows }, (_, row) => rowYMm[firstRow + row] - rowYMm[firstRow]);
  return {
    rows,
    ends,
    drawdown,
    rowFirst: whole ? problem.rowFirst : new Uint32Array(rows),
    rowLast: whole ? problem.rowLast : new Uint32Array(rows).fill(ends - 1),
    endXMm,
    rowYMm: regionYMm,
    boundary: region.boundary,
    ...(whole
      ? {}
      : {
          periodXMm: problem.endXMm[ends] - problem.endXMm[0],
          periodYMm: rowYMm[firstRow + rows] - rowYMm[firstRow],
        }),
    endBendingNmm2: perThread(ends, ofEnd, (body) => body.bendingNmm2),
    rowBendingNmm2: perThread(rows, ofRow, (body) => body.bendingNmm2),
    endTensionN: problem.endTensionN.slice(0, ends),
    rowTensionN: problem.rowTensionN.slice(firstRow, firstRow + rows),
    endHalfHeightMm: perThread(ends, ofEnd, (body) => body.contactHeightMm / 2),
    rowHalfHeightMm: perThread(rows, ofRow, (body) => body.contactHeightMm / 2),
    endHalfWidthMm: pressedHalfWidths(endXMm, ofEnd),
    rowHalfWidthMm: pressedHalfWidths(regionYMm, ofRow),
  };
}

/** The solved region's fields; a repeat is turned so that crossing (row, end) of the cloth is at its remainder. */
function* curveField(
  region: Region,
  heightMm: Float64Array,
  slope: Float64Array,
  wrapStartMm: Float64Array,
  wrapEndMm: Float64Array,
  widthFactor: Float32Array,
  heightFactor: Float32Array,
  none: Float32Array,
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
    offsetMm: none,
    offsetSlope: none,
    wrapStartMm: yield* turned(wrapStartMm),
    wrapEndMm: yield* turned(wrapEndMm),
    widthFactor: yield* turned(widthFactor),
    heightFactor: yield* turned(heightFactor),
  };
}

/** What a repeated forecast may start from: the heights found for the sample as it was a moment ago. */
export interface ForecastMemory {
  heights?: HeightsSolution;
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
  const uneven: RowPositions = problem.beat.scatterShare > 0 ? rowPositions(problem, true, holds) : even;
  yield { stage: 'spacing', share: 1 };

  const region = chooseRegion(problem);
  const heights = heightsProblem(problem, region, region.boundary === 'periodic' ? even.rowYMm : uneven.rowYMm);
  const start = memory.heights;
  const alike = start !== undefined && start.rows === region.rows && start.ends === region.ends;
  memory.scratch ??= new Scratch();
  const { scratch } = memory;
  const solution = yield* solveHeights(heights, alike ? { quality, scratch, start } : { quality, scratch });
  memory.heights = solution;

  yield { stage: 'sections', share: 0 };
  const regional: ClothProblem =
    region.firstRow === 0
      ? problem
      : {
          ...problem,
          rowYarn: problem.rowYarn.subarray(region.firstRow),
          rowFirst: heights.rowFirst,
          rowLast: heights.rowLast,
        };
  const sections = yield* paused(sectionFactors(heights, regional, solution), { stage: 'sections', share: 0.5 });
  // No thread leaves its line sideways yet: one field of zeros serves for all.
  const none = new Float32Array(region.rows * region.ends);
  const fields: Progress = { stage: 'sections', share: 0.9 };
  const warp = yield* paused(
    curveField(
      region,
      solution.warpHeightMm,
      solution.warpSlope,
      solution.warpWrapStartMm,
      solution.warpWrapEndMm,
      sections.warpWidth,
      sections.warpHeight,
      none,
    ),
    fields,
  );
  const weft = yield* paused(
    curveField(
      region,
      solution.weftHeightMm,
      solution.weftSlope,
      solution.weftWrapStartMm,
      solution.weftWrapEndMm,
      sections.weftWidth,
      sections.weftHeight,
      none,
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
