import type { ClothGeometry, ClothProblem, CurveField, HeldRows, Progress } from '#engine/cloth/clothTypes.ts';
import type { Crew } from '#engine/cloth/crew.ts';
import { type BothFields, laySome, layWhole } from '#engine/cloth/kinds/kindFields.ts';
import { paused } from '#engine/cloth/pauses.ts';
import { layRelief, type Relief, type ReliefMemory, type ThreadsOver } from '#engine/cloth/relief/layRelief.ts';
import { standProud } from '#engine/cloth/states/standProud.ts';
import { spacesMm } from '#engine/cloth/states/threadLengths.ts';
import {
  type FieldsBefore,
  fieldsAsBefore,
  keepFields,
  type SolvedFields,
  type SolvedKinds,
} from './fieldsAsBefore.ts';
import { fieldsByKinds, type KindsMemory, mayGoByKinds } from './fieldsByKinds.ts';
import { fieldsByTiles, type TilesMemory } from './fieldsByTiles.ts';
import type { Quality } from './forecastCloth.ts';
import type { SolvedRegion } from './regionProblem.ts';
import { type FieldsMemory, solvedFields } from './solvedFields.ts';
import { planTiles } from './tilePlan.ts';

/** What a repeated solve may start from: the heights and offsets found for the sample as it was a moment ago. */
export interface GeometryMemory extends FieldsMemory {
  relief?: ReliefMemory;
  kinds?: KindsMemory;
  tiles?: TilesMemory;
  fields?: FieldsBefore;
}

/**
 * Tiles overlap by half as much again, so that fewer threads are as soon through with the whole; and so is a preview from nothing,
 * for which fresh threads would first have to compile what they run.
 */
const LEAST_HANDS = 3;

/** By the least work: as before where little has changed, by kinds where a large cloth is new, else solved. */
function* findFields(
  problem: ClothProblem,
  region: SolvedRegion,
  { evenYMm, solvedYMm, drawnYMm }: RowPlaces,
  quality: Quality,
  memory: GeometryMemory,
  crew: Crew | undefined,
): Generator<Progress, SolvedFields | SolvedKinds> {
  if (quality === 'preview') {
    const like = fieldsAsBefore(problem, region, solvedYMm, memory.fields);
    const before = yield* paused(like, { stage: 'heights', share: 0.5 });
    if (before) return before;
    if (mayGoByKinds(problem, region)) {
      memory.kinds ??= {};
      const byKinds = yield* fieldsByKinds(problem, evenYMm, drawnYMm, memory.kinds, crew);
      if (byKinds) {
        memory.fields = keepFields(problem, region, solvedYMm, byKinds);
        return byKinds;
      }
    }
  }
  const byTiles = crew && crew.hands >= LEAST_HANDS && (quality === 'settled' || memory.tiles !== undefined);
  const tiles = byTiles ? planTiles(problem, region, solvedYMm) : undefined;
  if (tiles) {
    memory.tiles ??= [];
    // What the whole was is of no more use.
    delete memory.heights;
    delete memory.sideways;
    delete memory.scratch;
  }
  const solved = yield* tiles
    ? fieldsByTiles(problem, solvedYMm, quality, tiles, memory.tiles as TilesMemory, crew)
    : solvedFields(problem, region, solvedYMm, quality, memory);
  memory.fields = keepFields(problem, region, solvedYMm, solved);
  return solved;
}

/** Where rows lie: as the structure has them, as they are solved for, and as they are drawn. */
export interface RowPlaces {
  readonly evenYMm: Float64Array;
  readonly solvedYMm: Float64Array;
  readonly drawnYMm: Float64Array;
}

/** Fields that may be changed where anything stands; of a cloth by kinds those of some rows where these are enough. */
function* layOut(
  found: SolvedFields | SolvedKinds,
  stands: boolean,
  whole: boolean,
): Generator<void, BothFields & { readonly held?: HeldRows }> {
  if ('byKinds' in found) return yield* stands || whole ? layWhole(found.byKinds) : laySome(found.byKinds);
  const own = (field: CurveField): CurveField =>
    stands ? { ...field, heightMm: field.heightMm.slice(), slope: field.slope.slice() } : field;
  return { warp: own(found.warp), weft: own(found.weft) };
}

/**
 * Heights of both systems and sections of all threads where they lie in plan, for one region of the cloth.
 * @param places of the whole cloth's rows
 * @param over length of each thread of the whole cloth that it does not take up, as a share: it stands out
 * @param whole whether fields have to hold every crossing, though it be known by kinds
 */
export function* clothGeometry(
  problem: ClothProblem,
  region: SolvedRegion,
  { evenYMm, solvedYMm, drawnYMm }: RowPlaces,
  quality: Quality,
  memory: GeometryMemory,
  over: ThreadsOver,
  whole = false,
  crew?: Crew,
): Generator<Progress, { readonly geometry: ClothGeometry; readonly relief?: Relief }> {
  const { rows, ends, firstRow, firstEnd } = region;
  const found = yield* findFields(problem, region, { evenYMm, solvedYMm, drawnYMm }, quality, memory, crew);
  const { residuals } = found;
  // Relief and floats that stand change heights and slopes in place; what was found serves again.
  const stands = over.weft.some((share) => share > 0) || over.warp.some((share) => share > 0);
  const fields: Progress = { stage: 'sections', share: 0.9 };
  const { warp, weft, held } = yield* paused(layOut(found, stands, whole), fields);
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
    ...(held && 'byKinds' in found ? { byKinds: { fields: found.byKinds, held } } : {}),
  };
  return laid ? { geometry, relief: laid.relief } : { geometry };
}
