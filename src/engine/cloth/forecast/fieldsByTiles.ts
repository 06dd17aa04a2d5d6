import type { ClothProblem, CurveField, Progress } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import type { SolvedFields } from './fieldsAsBefore.ts';
import type { Quality } from './forecastCloth.ts';
import { type PartJob, type PartStart, type SolvedPart, solvePart } from './solvePart.ts';
import type { AxisPart, Stretch, Tile } from './tilePlan.ts';
import { worstOf } from './worstOf.ts';

/** What each tile was when it was solved last. */
export type TilesMemory = (PartStart | undefined)[];

const FIELDS = [
  'heightMm',
  'slope',
  'offsetMm',
  'offsetSlope',
  'wrapStartMm',
  'wrapEndMm',
  'widthFactor',
  'heightFactor',
] as const;

/** Threads beyond those that a tile speaks for whose parting is still felt there. */
const PARTED_BEYOND = 4;

/** Threads of a tile, counted from its first, that are to be parted. */
function partedThreads({ weights }: AxisPart): Stretch {
  const first = weights.findIndex((weight) => weight > 0);
  const last = weights.findLastIndex((weight) => weight > 0);
  return { from: Math.max(0, first - PARTED_BEYOND), to: Math.min(weights.length, last + 1 + PARTED_BEYOND) };
}

function jobOf(
  problem: ClothProblem,
  rowYMm: Float64Array,
  quality: Quality,
  { rows, ends }: Tile,
  before: PartStart | undefined,
): PartJob {
  const part = clothRegion(problem, {
    ...{ firstRow: rows.from, lastRow: rows.to - 1 },
    ...{ firstEnd: ends.from, lastEnd: ends.to - 1 },
  });
  const start = before?.rows === part.rows && before.ends === part.ends ? before : undefined;
  return {
    problem: part,
    rowYMm: rowYMm.slice(rows.from, rows.to),
    quality,
    whole: {
      crossings: problem.rows * problem.ends,
      holdCells: { across: ends.cells, along: rows.cells },
      parted: { rows: partedThreads(rows), ends: partedThreads(ends) },
    },
    ...(start ? { start } : {}),
  };
}

/**
 * Heights, offsets and sections of a cloth without a repeat, solved in overlapping tiles that hand over to one another; by the
 * crew where there is one. Within 2 % of D of what they are where it is solved as a whole.
 * @param memory filled with what each tile may start from next time
 */
export function* fieldsByTiles(
  problem: ClothProblem,
  rowYMm: Float64Array,
  quality: Quality,
  tiles: readonly Tile[],
  memory: TilesMemory,
  crew: Crew | undefined,
): Generator<Progress, SolvedFields> {
  const { rows, ends } = problem;
  const gathered = new Gathered(rows, ends);
  let residuals: SolvedFields['residuals'] | undefined;
  const jobs = tiles.map((tile, k) => () => jobOf(problem, rowYMm, quality, tile, memory[k]));
  memory.length = tiles.length;
  const take = (part: SolvedPart, k: number) => {
    memory[k] = part.start;
    residuals = residuals ? worstOf(residuals, part.fields.residuals) : part.fields.residuals;
    gathered.add(tiles[k], part);
  };
  yield* together(crew, solvePart, jobs, take, (share) => ({ stage: 'heights', share: 0.05 + 0.9 * share }));
  if (!residuals) throw new Error('cloth in tiles: none was solved');
  const { warp, weft } = gathered;
  yield* paused(levelled(problem, warp.heightMm, weft.heightMm), { stage: 'heights', share: 0.98 });
  return { warp, weft, residuals };
}

/** Counts heights from the mean mid-surface, as a solve of the whole does: outermost threads stand for half a thread. */
function* levelled(
  { rows, ends, rowFirst, rowLast }: ClothProblem,
  warpMm: Float32Array,
  weftMm: Float32Array,
): Generator<void, void> {
  let height = 0;
  let weight = 0;
  yield* inBands(rows, ends, (from, to) => {
    for (let row = from; row < to; row++) {
      const ofRow = row === 0 || row === rows - 1 ? 0.5 : 1;
      for (let end = rowFirst[row]; end <= rowLast[row]; end++) {
        const share = end === 0 || end === ends - 1 ? ofRow / 2 : ofRow;
        weight += share;
        height += (share * (warpMm[row * ends + end] + weftMm[row * ends + end])) / 2;
      }
    }
  });
  const middle = height / weight;
  yield* inBands(rows, ends, (from, to) => {
    for (let k = from * ends; k < to * ends; k++) {
      warpMm[k] -= middle;
      weftMm[k] -= middle;
    }
  });
}

/** The whole cloth's fields, put together from those of its tiles. */
class Gathered {
  readonly warp: CurveField;
  readonly weft: CurveField;

  constructor(
    rows: number,
    private readonly ends: number,
  ) {
    // Fresh memory is not even there before it is written: fields of zeros cost nothing.
    const field = () =>
      Object.fromEntries(FIELDS.map((name) => [name, new Float32Array(rows * ends)])) as unknown as CurveField;
    this.warp = field();
    this.weft = field();
  }

  add(tile: Tile, { fields, start, levelMm }: SolvedPart): void {
    for (const [into, from] of [
      [this.warp, fields.warp],
      [this.weft, fields.weft],
    ] as const) {
      for (const name of FIELDS) {
        if (!start.offsets && name.startsWith('offset')) continue;
        this.addField(tile, into[name], from[name], name === 'heightMm' ? levelMm : 0);
      }
    }
  }

  private addField({ rows, ends }: Tile, into: Float32Array, from: Float32Array, plus: number): void {
    const across = ends.to - ends.from;
    for (let row = rows.from; row < rows.to; row++) {
      const ofRow = rows.weights[row - rows.from];
      if (ofRow === 0) continue;
      const source = (row - rows.from) * across;
      const target = row * this.ends + ends.from;
      if (ofRow < 1 || plus !== 0) {
        addRun(into, target, from, source, 0, across, ends.weights, ofRow, plus);
        continue;
      }
      const first = ends.alone.from - ends.from;
      const last = ends.alone.to - ends.from;
      addRun(into, target, from, source, 0, first, ends.weights, ofRow, plus);
      into.set(from.subarray(source + first, source + last), target + first);
      addRun(into, target, from, source, last, across, ends.weights, ofRow, plus);
    }
  }
}

function addRun(
  into: Float32Array,
  target: number,
  from: Float32Array,
  source: number,
  first: number,
  to: number,
  weights: Float32Array,
  ofRow: number,
  plus: number,
): void {
  for (let k = first; k < to; k++) {
    const weight = ofRow * weights[k];
    if (weight > 0) into[target + k] += weight * (from[source + k] + plus);
  }
}
