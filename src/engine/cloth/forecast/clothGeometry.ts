import type { ClothGeometry, ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { layRelief, type Relief, type ReliefMemory, type ThreadsOver } from '#engine/cloth/relief/layRelief.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import { standProud } from '#engine/cloth/states/standProud.ts';
import { spacesMm } from '#engine/cloth/states/threadLengths.ts';
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

/** What a repeated solve may start from: the heights and offsets found for the sample as it was a moment ago. */
export interface GeometryMemory {
  heights?: HeightsSolution;
  sideways?: SidewaysSolution | null;
  scratch?: Scratch;
  relief?: ReliefMemory;
}

/**
 * Heights of both systems and sections of all threads where they lie in plan, for one region of the cloth.
 * @param regionYMm positions of the whole cloth's rows for which the region is solved
 * @param rowYMm positions at which the rows are drawn
 * @param over length of each thread of the whole cloth that it does not take up, as a share: it stands out
 */
export function* clothGeometry(
  problem: ClothProblem,
  region: SolvedRegion,
  regionYMm: Float64Array,
  rowYMm: Float64Array,
  quality: Quality,
  memory: GeometryMemory,
  over: ThreadsOver,
): Generator<Progress, { readonly geometry: ClothGeometry; readonly relief?: Relief }> {
  const heights = regionProblem(problem, region, regionYMm);
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
  const { rows, ends } = region;
  const repeats = region.boundary === 'periodic';
  const pitchXMm = spacesMm(heights.endXMm, heights.periodXMm);
  const solved = { rows, ends, repeats, pitchXMm, pitchYMm: spacesMm(heights.rowYMm, heights.periodYMm) };
  memory.relief ??= {};
  const laid = yield* paused(layRelief(problem, solved, warp, weft, over, memory.relief), fields);
  // What pockets take, floats no longer have.
  const loose = laid ? over.weft.map((share, row) => Math.max(0, share - laid.weftUsed[row % rows])) : over.weft;
  standProud(weft, problem.drawdown, rows, ends, repeats, loose, pitchXMm);
  const geometry = {
    rows: problem.rows,
    ends: problem.ends,
    periodRows: region.rows,
    periodEnds: region.ends,
    endXMm: Float32Array.from(problem.endXMm),
    rowYMm: Float32Array.from(rowYMm),
    warp,
    weft,
    residuals: solution.residuals,
  };
  return laid ? { geometry, relief: laid.relief } : { geometry };
}
