import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { inBands } from '#engine/cloth/pauses.ts';
import { hash32, hashUniform } from '#engine/units/hash.ts';
import type { Slubs, YarnUnevenness } from '#engine/yarn/yarnTypes.ts';

/** A repeat is drawn over at least so many threads either way, so that no unevenness is seen to come again. */
const LEAST_PERIOD = 96;
/** Long waves, and shorter ones in them of a fifth of the length (from memory of yarn tester charts). */
const SHORT_WAVE = 0.2;
const LONG_SHARE = 0.8;
const SHORT_SHARE = 0.6;
/** Variance of noise between lattice values of variance 1, mean over smooth steps: 1 − 2 ∫ w (1 − w), w = 3u² − 2u³. */
const BETWEEN = 1 - 2 * (9 / 70);
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

/** Places along a thread, the length of all of it, and that of its period where it comes again (else 0), mm. */
interface Along {
  readonly mm: Float64Array;
  readonly wholeMm: number;
  readonly turnMm: number;
}

/** Of one period. */
function along(positionMm: Float32Array, period: number, count: number): Along {
  const mm = Float64Array.from({ length: period }, (_, k) => positionMm[k] - positionMm[0]);
  return { mm, wholeMm: mm[period - 1], turnMm: period < count ? positionMm[period] - positionMm[0] : 0 };
}

/** Threads of one family whose yarns are alike uneven. */
interface Likes {
  readonly threads: readonly number[];
  readonly waves: readonly Wave[];
  /** Factors of slubs and the ground between them along each thread, where its yarn has any. */
  readonly slubs: readonly Float32Array[] | undefined;
}

/** One octave of noise: values at the lattice's points, thread by thread. */
interface Wave {
  readonly lattice: Lattice;
  readonly values: Float32Array;
}

/** Of threads first .. stop − 1. */
function unevenLikes(
  problem: ClothProblem,
  yarnOf: Uint16Array,
  first: number,
  stop: number,
  family: number,
  there: Along,
): Likes[] {
  const byYarn = new Map<YarnUnevenness, number[]>();
  for (let thread = first; thread < stop; thread++) {
    const { unevenness } = problem.yarns[yarnOf[thread]];
    if (!unevenness) continue;
    const threads = byYarn.get(unevenness) ?? [];
    byYarn.set(unevenness, threads);
    threads.push(thread);
  }
  return Array.from(byYarn, ([{ widthCv, halfWaveMm, slubs }, threads]) => {
    const seeds = threads.map((thread) => hash32(2 * thread + family * 0x10000000));
    return {
      threads,
      waves: [
        wave(createLattice(there, halfWaveMm), seeds, LONG_SHARE * widthCv, 0),
        wave(createLattice(there, SHORT_WAVE * halfWaveMm), seeds, SHORT_SHARE * widthCv, 1 << 20),
      ],
      slubs: slubs && seeds.map((seed) => slubFactors(slubs, seed, there)),
    };
  });
}

/** Uniform values: no thread is ever thinner than a few deviations. */
function wave(lattice: Lattice, seeds: readonly number[], cv: number, salt: number): Wave {
  const { first, points } = lattice;
  const scale = cv * Math.sqrt(12 / BETWEEN);
  const values = new Float32Array(points * seeds.length);
  seeds.forEach((seed, index) => {
    for (let point = 0; point < points; point++)
      values[index * points + point] = scale * (hashUniform(seed, salt + first + point) - 0.5);
  });
  return { lattice, values };
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

/** Where places lie between the points at which noise has values of its own. */
interface Lattice {
  /** The first point that any place lies beside, and how many there are up to the last. */
  readonly first: number;
  readonly points: number;
  readonly cell: Uint32Array;
  readonly next: Uint32Array;
  readonly weight: Float64Array;
}

function createLattice({ mm, wholeMm, turnMm }: Along, lengthMm: number): Lattice {
  const turns = turnMm > 0;
  const whole = turns ? turnMm : wholeMm;
  // A lattice that comes again has a whole number of points in its turn.
  const round = turns ? Math.max(1, Math.round(whole / lengthMm)) : Math.floor(whole / lengthMm) + 2;
  const perMm = turns ? round / whole : 1 / lengthMm;
  const first = turns ? 0 : Math.floor(mm[0] * perMm);
  const last = turns ? round - 1 : Math.floor(mm[mm.length - 1] * perMm) + 1;
  const cell = new Uint32Array(mm.length);
  const next = new Uint32Array(mm.length);
  const weight = new Float64Array(mm.length);
  for (let k = 0; k < mm.length; k++) {
    const u = mm[k] * perMm;
    const point = Math.floor(u) % round;
    cell[k] = point - first;
    next[k] = ((point + 1) % round) - first;
    const f = u - Math.floor(u);
    weight[k] = f * f * (3 - 2 * f);
  }
  return { first, points: last + 1 - first, cell, next, weight };
}

const between = ([least, most]: readonly [number, number], share: number) => least + share * (most - least);

/** One slub in each stretch of the mean distance, swelling and falling as a cosine; what lies between is thinner for it. */
function slubFactors(slubs: Slubs, seed: number, { mm, wholeMm }: Along): Float32Array {
  const everyMm = between(slubs.everyMm, 0.5);
  // The count is the mean of thick and thin: mass goes as the width's square, and a cosine's bump fills half its length.
  const share = (0.5 * between(slubs.lengthMm, 0.5)) / everyMm;
  const ground = 1 / Math.sqrt(1 + share * (between(slubs.timesWidth, 0.5) ** 2 - 1));
  const last = Math.floor(wholeMm / everyMm) + 1;
  const row = new Float32Array(mm.length).fill(ground);
  for (let stretch = -1; stretch <= last; stretch++) {
    const salt = (1 << 21) + 4 * (stretch + 1);
    const middle = (stretch + hashUniform(seed, salt)) * everyMm;
    const half = 0.5 * between(slubs.lengthMm, hashUniform(seed, salt + 1));
    if (middle + half < mm[0] || middle - half > mm[mm.length - 1]) continue;
    const times = between(slubs.timesWidth, hashUniform(seed, salt + 2));
    for (let k = 0; k < row.length; k++) {
      const away = Math.abs(mm[k] - middle) / half;
      if (away < 1) row[k] *= 1 + (times - 1) * (0.5 + 0.5 * Math.cos(Math.PI * away));
    }
  }
  return row;
}
