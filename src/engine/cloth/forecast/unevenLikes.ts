import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { hash32, hashUniform } from '#engine/units/hash.ts';
import type { Slubs, YarnUnevenness } from '#engine/yarn/yarnTypes.ts';

/** Long waves, and shorter ones in them of a fifth of the length (from memory of yarn tester charts). */
const SHORT_WAVE = 0.2;
const LONG_SHARE = 0.8;
const SHORT_SHARE = 0.6;
/** Variance of noise between lattice values of variance 1, mean over smooth steps: 1 − 2 ∫ w (1 − w), w = 3u² − 2u³. */
const BETWEEN = 1 - 2 * (9 / 70);
/** Places along a thread, the length of all of it, and that of its period where it comes again (else 0), mm. */
export interface Along {
  readonly mm: Float64Array;
  readonly wholeMm: number;
  readonly turnMm: number;
}

/** Of one period. */
export function along(positionMm: Float32Array, period: number, count: number): Along {
  const mm = Float64Array.from({ length: period }, (_, k) => positionMm[k] - positionMm[0]);
  return { mm, wholeMm: mm[period - 1], turnMm: period < count ? positionMm[period] - positionMm[0] : 0 };
}

/** Threads of one family whose yarns are alike uneven. */
export interface Likes {
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
export function unevenLikes(
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
