import type { ClothGeometry, ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { layRelief, type Relief, type ReliefMemory, type ThreadsOver } from '#engine/cloth/relief/layRelief.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { partLikes } from '#engine/cloth/sideways/partLikes.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import { standProud } from '#engine/cloth/states/standProud.ts';
import { spacesMm } from '#engine/cloth/states/threadLengths.ts';
import { type FieldsBefore, fieldsAsBefore, keepFields, type SolvedFields } from './fieldsAsBefore.ts';
import { fieldsByKinds, type KindsMemory, mayGoByKinds } from './fieldsByKinds.ts';
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
  kinds?: KindsMemory;
  fields?: FieldsBefore;
}

/** Heights, offsets and sections of one region of the cloth. */
function* solvedFields(
  problem: ClothProblem,
  region: SolvedRegion,
  regionYMm: Float64Array,
  quality: Quality,
  memory: GeometryMemory,
): Generator<Progress, SolvedFields> {
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
  return { warp, weft, residuals: solution.residuals };
}

/** By the least work: as before where little has changed, by kinds where a large cloth is new, else solved. */
function* findFields(
  problem: ClothProblem,
  region: SolvedRegion,
  { evenYMm, solvedYMm, drawnYMm }: RowPlaces,
  quality: Quality,
  memory: GeometryMemory,
): Generator<Progress, SolvedFields> {
  if (quality === 'preview') {
    const like = fieldsAsBefore(problem, region, solvedYMm, memory.fields);
    const before = yield* paused(like, { stage: 'heights', share: 0.5 });
    if (before) return before;
    if (mayGoByKinds(problem, region)) {
      memory.kinds ??= {};
      const byKinds = yield* fieldsByKinds(problem, evenYMm, drawnYMm, memory.kinds);
      if (byKinds) {
        memory.fields = keepFields(problem, region, solvedYMm, byKinds);
        return byKinds;
      }
    }
  }
  const solved = yield* solvedFields(problem, region, solvedYMm, quality, memory);
  memory.fields = keepFields(problem, region, solvedYMm, solved);
  return solved;
}

/** Where rows lie: as the structure has them, as they are solved for, and as they are drawn. */
export interface RowPlaces {
  readonly evenYMm: Float64Array;
  readonly solvedYMm: Float64Array;
  readonly drawnYMm: Float64Array;
}

/**
 * Heights of both systems and sections of all threads where they lie in plan, for one region of the cloth.
 * @param places of the whole cloth's rows
 * @param over length of each thread of the whole cloth that it does not take up, as a share: it stands out
 */
export function* clothGeometry(
  problem: ClothProblem,
  region: SolvedRegion,
  { evenYMm, solvedYMm, drawnYMm }: RowPlaces,
  quality: Quality,
  memory: GeometryMemory,
  over: ThreadsOver,
): Generator<Progress, { readonly geometry: ClothGeometry; readonly relief?: Relief }> {
  const { rows, ends, firstRow, firstEnd } = region;
  const found = yield* findFields(problem, region, { evenYMm, solvedYMm, drawnYMm }, quality, memory);
  const { residuals } = found;
  // Relief and floats that stand change heights and slopes in place; what was found serves again.
  const stands = over.weft.some((share) => share > 0) || over.warp.some((share) => share > 0);
  const own = (field: CurveField): CurveField =>
    stands ? { ...field, heightMm: field.heightMm.slice(), slope: field.slope.slice() } : field;
  const [warp, weft] = [own(found.warp), own(found.weft)];
  const fields: Progress = { stage: 'sections', share: 0.9 };
  const repeats = region.boundary === 'periodic';
  // Each space to the next, and the one that closes the repeat.
  const more = repeats ? 1 : 0;
  const pitchXMm = spacesMm(problem.endXMm.subarray(firstEnd, firstEnd + ends + more), undefined);
  const pitchYMm = spacesMm(solvedYMm.subarray(firstRow, firstRow + rows + more), undefined);
  const solved = { rows, ends, repeats, pitchXMm, pitchYMm };
  memory.relief ??= {};
  const laid = yield* paused(layRelief(problem, solved, warp, weft, over, memory.relief), fields);
  // What pockets take, floats no longer have.
  const loose = laid ? over.weft.map((share, row) => Math.max(0, share - laid.weftUsed[row % rows])) : over.weft;
  standProud(weft, problem.drawdown, rows, ends, repeats, loose, pitchXMm);
  const geometry = {
    rows: problem.rows,
    ends: problem.ends,
    periodRows: rows,
    periodEnds: ends,
    endXMm: Float32Array.from(problem.endXMm),
    rowYMm: Float32Array.from(drawnYMm),
    warp,
    weft,
    residuals,
  };
  return laid ? { geometry, relief: laid.relief } : { geometry };
}
