import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { inBands } from '#engine/cloth/pauses.ts';
import { along, type Likes, unevenLikes } from './unevenLikes.ts';

/** A repeat is drawn over at least so many threads either way, so that no unevenness is seen to come again. */
const LEAST_PERIOD = 96;
/** What the packed section holds, over the contact width. */
const MOST_FACTOR = 2.5;
const LEAST_FACTOR = 0.4;

/**
 * Sections of threads as uneven as their yarns are, over those that structure alone gives: width by noise along each
 * thread and by slubs, height so that no thread runs into those that it crosses. Where heights were solved for one
 * repeat, the fields are laid out over several. For the picture alone: readings are of the mean.
 * Unevenness belongs to a thread's number and its place, so that it stays where it is while the sample changes.
 */
export function* unevenGeometry(problem: ClothProblem, geometry: ClothGeometry): Generator<void, ClothGeometry> {
  // Where crossings are known by kinds it is laid over them band by band.
  if (geometry.byKinds || !problem.yarns.some((yarn) => yarn.unevenness)) return geometry;
  const periodRows = longPeriod(geometry.periodRows, geometry.rows);
  const periodEnds = longPeriod(geometry.periodEnds, geometry.ends);
  const laid = {
    ...geometry,
    periodRows,
    periodEnds,
    warp: yield* laidOut(geometry.warp, geometry, periodRows, periodEnds),
    weft: yield* laidOut(geometry.weft, geometry, periodRows, periodEnds),
  };
  const factors = new Float64Array(periodEnds);
  const upwards = along(geometry.rowYMm, periodRows, geometry.rows);
  const across = along(geometry.endXMm, periodEnds, geometry.ends);
  for (const likes of unevenLikes(problem, problem.endYarn, 0, periodEnds, 1, upwards)) {
    yield* inBands(periodRows, likes.threads.length, (from, to) => {
      for (let row = from; row < to; row++) {
        warpFactors(likes, row, factors.fill(1), 0);
        widenRow(laid.warp, row * periodEnds, factors);
      }
    });
  }
  for (const likes of unevenLikes(problem, problem.rowYarn, 0, periodRows, 2, across)) {
    yield* inBands(likes.threads.length, periodEnds, (from, to) => {
      for (let index = from; index < to; index++) {
        weftFactors(likes, index, factors, 0);
        widenRow(laid.weft, likes.threads[index] * periodEnds, factors);
      }
    });
  }
  return laid;
}

/** How wide rows from .. to − 1 of a cloth without a repeat make each thread at each crossing, over what structure makes it. */
export interface UnevenRows {
  /** Row-major from row `from` on, 1 where a thread is even. */
  readonly warp: Float64Array;
  readonly weft: Float64Array;
}

/** The same as factors (`widen` applies them) for some rows; undefined where no yarn is uneven. */
export function unevenRows(
  problem: ClothProblem,
  { rows, ends, endXMm, rowYMm }: Pick<ClothGeometry, 'rows' | 'ends' | 'endXMm' | 'rowYMm'>,
  from: number,
  to: number,
): UnevenRows | undefined {
  if (!problem.yarns.some((yarn) => yarn.unevenness)) return undefined;
  const warp = new Float64Array((to - from) * ends).fill(1);
  const weft = new Float64Array((to - from) * ends).fill(1);
  const upwards = along(rowYMm, rows, rows);
  const there = { ...upwards, mm: upwards.mm.subarray(from, to) };
  for (const likes of unevenLikes(problem, problem.endYarn, 0, ends, 1, there))
    for (let row = 0; row < to - from; row++) warpFactors(likes, row, warp, row * ends);
  for (const likes of unevenLikes(problem, problem.rowYarn, from, to, 2, along(endXMm, ends, ends)))
    likes.threads.forEach((row, index) => {
      weftFactors(likes, index, weft, (row - from) * ends);
    });
  return { warp, weft };
}

function longPeriod(period: number, count: number): number {
  if (period >= count) return period;
  return Math.min(count, Math.ceil(LEAST_PERIOD / period) * period);
}

/** A field of the solved repeat over a longer one; the same arrays where the two are one, but for what changes. */
function* laidOut(
  field: CurveField,
  from: ClothGeometry,
  periodRows: number,
  periodEnds: number,
): Generator<void, CurveField> {
  if (periodRows === from.periodRows && periodEnds === from.periodEnds) {
    return { ...field, widthFactor: field.widthFactor.slice(), heightFactor: field.heightFactor.slice() };
  }
  const out: Record<string, Float32Array> = {};
  const done = new Map<Float32Array, Float32Array>();
  for (const [name, values] of Object.entries(field) as [string, Float32Array][]) {
    // Fields that are zero throughout share one array.
    const known = done.get(values);
    const longer = known ?? new Float32Array(periodRows * periodEnds);
    out[name] = longer;
    if (known) continue;
    done.set(values, longer);
    yield* inBands(periodRows, periodEnds, (first, to) => {
      for (let row = first; row < to; row++) {
        const source = (row % from.periodRows) * from.periodEnds;
        for (let end = 0; end < periodEnds; end++) {
          longer[row * periodEnds + end] = values[source + (end % from.periodEnds)];
        }
      }
    });
  }
  return out as unknown as CurveField;
}

/** Writes how wide a row's crossings make the ends of `likes`, from `place` on by the end's number. */
function warpFactors(
  { threads, waves: [long, short], slubs }: Likes,
  row: number,
  out: Float64Array,
  place: number,
): void {
  const long0 = long.lattice.cell[row];
  const long1 = long.lattice.next[row];
  const longWeight = long.lattice.weight[row];
  const short0 = short.lattice.cell[row];
  const short1 = short.lattice.next[row];
  const shortWeight = short.lattice.weight[row];
  for (let index = 0; index < threads.length; index++) {
    const a = index * long.lattice.points;
    const b = index * short.lattice.points;
    const factor =
      1 +
      (1 - longWeight) * long.values[a + long0] +
      longWeight * long.values[a + long1] +
      (1 - shortWeight) * short.values[b + short0] +
      shortWeight * short.values[b + short1];
    out[place + threads[index]] = Math.max(LEAST_FACTOR, slubs ? factor * slubs[index][row] : factor);
  }
}

/** The same of a row at each end. */
function weftFactors({ waves: [long, short], slubs }: Likes, index: number, out: Float64Array, place: number): void {
  const a = index * long.lattice.points;
  const b = index * short.lattice.points;
  for (let end = 0; end < long.lattice.cell.length; end++) {
    const longWeight = long.lattice.weight[end];
    const shortWeight = short.lattice.weight[end];
    const factor =
      1 +
      (1 - longWeight) * long.values[a + long.lattice.cell[end]] +
      longWeight * long.values[a + long.lattice.next[end]] +
      (1 - shortWeight) * short.values[b + short.lattice.cell[end]] +
      shortWeight * short.values[b + short.lattice.next[end]];
    out[place + end] = Math.max(LEAST_FACTOR, slubs ? factor * slubs[index][end] : factor);
  }
}

/** Width factor of a section that unevenness makes so much wider. */
export function widened(widthFactor: number, factor: number): number {
  return Math.min(MOST_FACTOR, widthFactor * factor);
}

/** Its height factor: twist runs into thin places, thick ones are soft and lie flatter where they are crossed (common practice). */
export function heightened(heightFactor: number, factor: number): number {
  return heightFactor * (factor < 1 ? factor : 1 / Math.sqrt(factor));
}

/** Widens a row's crossings, of which those of even threads are 1. */
function widenRow({ widthFactor, heightFactor }: CurveField, place: number, factors: Float64Array): void {
  for (let end = 0; end < factors.length; end++) {
    const factor = factors[end];
    if (factor === 1) continue;
    widthFactor[place + end] = widened(widthFactor[place + end], factor);
    heightFactor[place + end] = heightened(heightFactor[place + end], factor);
  }
}
