import { smallestPeriod } from '#engine/draft/repeats.ts';
import type { Millimetres } from '#engine/units/units.ts';
import type { Compressibility } from '#engine/yarn/yarnTypes.ts';
import type { DentedEnds } from './denting.ts';

/**
 * How far reed marks have closed at each stage, 0 (ends lie as between the wires) .. 1 (even). Marks show on the loom
 * and off it and are gone after a wash with movement, less so after steam (common practice); figures are estimates.
 */
export const REED_MARKS_CLOSED = { onLoom: 0.5, offLoom: 0.6, steamed: 0.8, washed: 0.95, fulled: 1 } as const;
export type ReedStage = keyof typeof REED_MARKS_CLOSED;

/** Share of that which ends move, by how the yarn gives: wire and monofilament keep their marks (common practice). */
const MOVES: Record<Compressibility, number> = { none: 0.3, low: 0.8, medium: 1, high: 1 };

/** Share by which the reed's marks have closed at a stage, in a warp of this yarn. 0..1. */
export function reedMarksClosed(stage: ReedStage, compressibility: Compressibility): number {
  return REED_MARKS_CLOSED[stage] * MOVES[compressibility];
}

/**
 * Over so many dents ends even out, and in what shares: sleying one and two about, or one, one and two, is done to
 * reach a sett that the reed has not, and leaves no stripe (common practice). The weights cancel both exactly.
 */
const EVENING = [1, 3, 4, 3, 1] as const;
/** Neighbouring dents that differ by more are crammed or thinned on purpose and stay as they are. */
const SAME_SETT = 1;

/**
 * Where ends come to lie once the wires have left no mark, mm on the same scale, ascending. Ends spread over whole dents;
 * dents that differ by one end even out, empty dents stay open and crammed stripes crammed: these are design, and
 * what the cloth does to them is for the sideways forces to say.
 */
export function evenPlaces({ endsPerDent, widthMm, xMm }: DentedEnds): Float64Array {
  const even = new Float64Array(xMm.length);
  const dents = endsPerDent.length;
  const dentMm = widthMm / dents;
  let end = 0;
  for (let from = 0; from < dents; ) {
    if (endsPerDent[from] === 0) {
      from++;
      continue;
    }
    let to = from + 1;
    while (to < dents && endsPerDent[to] > 0 && Math.abs(endsPerDent[to] - endsPerDent[to - 1]) <= SAME_SETT) to++;
    end = spread(even, end, endsPerDent.subarray(from, to), from * dentMm, dentMm);
    from = to;
  }
  return even;
}

/** Lays the ends of one run of dents by their evened density; returns the next end. */
function spread(even: Float64Array, first: number, counts: Uint32Array, leftMm: Millimetres, dentMm: Millimetres) {
  const total = counts.reduce((sum, count) => sum + count, 0);
  const density = evened(counts);
  const scale = total / density.reduce((sum, value) => sum + value, 0);
  let dent = 0;
  let before = 0;
  for (let k = 0; k < total && first + k < even.length; k++) {
    const wanted = k + 0.5;
    while (dent < counts.length - 1 && before + density[dent] * scale < wanted) before += density[dent++] * scale;
    even[first + k] = leftMm + (dent + (wanted - before) / (density[dent] * scale)) * dentMm;
  }
  return first + total;
}

/** Ends to the dent, evened over its neighbours. */
function evened(counts: Uint32Array): Float64Array {
  const { length } = counts;
  // An order that comes again within the reach is even throughout, also beside the run's edges.
  if (smallestPeriod(counts) <= EVENING.length) {
    return new Float64Array(length).fill(counts.reduce((sum, count) => sum + count, 0) / length);
  }
  const reach = (EVENING.length - 1) / 2;
  return Float64Array.from(counts, (_, dent) => {
    let sum = 0;
    let weights = 0;
    EVENING.forEach((weight, k) => {
      const at = dent + k - reach;
      if (at < 0 || at >= length) return;
      sum += weight * counts[at];
      weights += weight;
    });
    return sum / weights;
  });
}

/**
 * Ends moved from where the reed puts them towards where they lie without its marks.
 * @param share 0 none of the way .. 1 all of it; one for all, or one for each end
 */
export function closedUp(
  dentXMm: Float64Array,
  evenXMm: Float64Array,
  share: number | ((end: number) => number),
): Float64Array {
  return dentXMm.map((x, end) => x + (evenXMm[end] - x) * (typeof share === 'number' ? share : share(end)));
}
