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
  const upwards = along(geometry.rowYMm, periodRows, geometry.rows);
  const across = along(geometry.endXMm, periodEnds, geometry.ends);
  for (const likes of unevenLikes(problem, problem.endYarn, 0, periodEnds, 1, upwards)) {
    yield* inBands(periodRows, likes.threads.length, (from, to) => {
      for (let row = from; row < to; row++) widenWarp(laid.warp, likes, row, row * periodEnds);
    });
  }
  for (const likes of unevenLikes(problem, problem.rowYarn, 0, periodRows, 2, across)) {
    yield* inBands(likes.threads.length, periodEnds, (from, to) => {
      for (let index = from; index < to; index++) widenWeft(laid.weft, likes, index, likes.threads[index] * periodEnds);
    });
  }
  return laid;
}

/**
 * The same for rows from .. to − 1 of a cloth without a repeat, in fields that hold these alone, each at its number's remainder by
 * their count.
 */
export function unevenBand(
  problem: ClothProblem,
  { rows, ends, endXMm, rowYMm }: Pick<ClothGeometry, 'rows' | 'ends' | 'endXMm' | 'rowYMm'>,
  { warp, weft }: Pick<ClothGeometry, 'warp' | 'weft'>,
  from: number,
  to: number,
): void {
  const placeOf = (row: number) => (row % (to - from)) * ends;
  const upwards = along(rowYMm, rows, rows);
  const there = { ...upwards, mm: upwards.mm.subarray(from, to) };
  for (const likes of unevenLikes(problem, problem.endYarn, 0, ends, 1, there))
    for (let row = from; row < to; row++) widenWarp(warp, likes, row - from, placeOf(row));
  for (const likes of unevenLikes(problem, problem.rowYarn, from, to, 2, along(endXMm, ends, ends)))
    likes.threads.forEach((row, index) => {
      widenWeft(weft, likes, index, placeOf(row));
    });
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

/** @param place of the row's first crossing */
function widenWarp(
  warp: CurveField,
  { threads, waves: [long, short], slubs }: Likes,
  row: number,
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
    widen(warp, place + threads[index], slubs ? factor * slubs[index][row] : factor);
  }
}

/** @param place of the row's first crossing */
function widenWeft(weft: CurveField, { waves: [long, short], slubs }: Likes, index: number, place: number): void {
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
    widen(weft, place + end, slubs ? factor * slubs[index][end] : factor);
  }
}

function widen(field: CurveField, k: number, wanted: number): void {
  const factor = Math.max(LEAST_FACTOR, wanted);
  field.widthFactor[k] = Math.min(MOST_FACTOR, field.widthFactor[k] * factor);
  // Twist runs into thin places: thick ones are soft and lie flatter where they are crossed (common practice).
  field.heightFactor[k] *= factor < 1 ? factor : 1 / Math.sqrt(factor);
}
