import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { rowStart } from '#engine/cloth/heldCrossings.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';

/** Bins over the range of heights; a mean is then exact but for one bin's share, far below a micrometre. */
const BINS = 2048;

/** Upper and lower surface of the cloth at the distinct crossings of rows from .. to − 1 of those looked at. */
function surfaces(
  problem: ClothProblem,
  geometry: ClothGeometry,
  from: number,
  to: number,
  looks: ArrayLike<number>,
  top: Float32Array,
  bottom: Float32Array,
): void {
  const { periodEnds, warp, weft } = geometry;
  const { yarns, endYarn, rowYarn, rowFirst, rowLast } = problem;
  const halfHeight = Float64Array.from(yarns, (body) => body.contactHeightMm / 2);
  for (let look = from; look < to; look++) {
    const row = looks[look];
    const weftHalf = halfHeight[rowYarn[row]];
    const first = rowFirst[row];
    const last = rowLast[row];
    for (let end = 0, k = rowStart(geometry, row), out = look * periodEnds; end < periodEnds; end++, k++, out++) {
      const wh = halfHeight[endYarn[end]] * warp.heightFactor[k];
      const wz = warp.heightMm[k];
      let high = wz + wh;
      let low = wz - wh;
      if (end >= first && end <= last) {
        const fh = weftHalf * weft.heightFactor[k];
        const fz = weft.heightMm[k];
        if (fz + fh > high) high = fz + fh;
        if (fz - fh < low) low = fz - fh;
      }
      top[out] = high;
      bottom[out] = low;
    }
  }
}

/** Mean of the `count` greatest of values times `sign`, by counting into bins. */
export function meanOfGreatest(values: Float32Array, count: number, sign: 1 | -1): number {
  let least = Infinity;
  let most = -Infinity;
  for (let k = 0; k < values.length; k++) {
    const value = sign * values[k];
    if (value < least) least = value;
    if (value > most) most = value;
  }
  if (!(most > least)) return most;
  const counts = new Uint32Array(BINS);
  const sums = new Float64Array(BINS);
  const perBin = (BINS - 1) / (most - least);
  for (let k = 0; k < values.length; k++) {
    const above = sign * values[k] - least;
    const bin = (above * perBin) | 0;
    counts[bin]++;
    sums[bin] += above;
  }
  let left = count;
  let sum = 0;
  for (let bin = BINS - 1; left > 0; bin--) {
    const taken = Math.min(left, counts[bin]);
    if (taken > 0) sum += (sums[bin] * taken) / counts[bin];
    left -= taken;
  }
  return least + sum / count;
}

/** Rows from the first on, at least so many apart; an odd step falls in step with fewer weaves. */
function everyRow(rows: number, atLeast: number): Uint32Array {
  const every = atLeast % 2 === 0 ? atLeast + 1 : atLeast;
  return Uint32Array.from({ length: Math.ceil(rows / every) }, (_, look) => look * every);
}

/**
 * Mean height of the highest tenth of the crossings' upper surfaces less that of the lowest tenth of the lower ones, mm.
 * Pauses now and then.
 * @param most crossings looked at; of more distinct ones some rows, evenly
 */
export function* clothThickness(problem: ClothProblem, geometry: ClothGeometry, most: number): Generator<void, number> {
  const { periodRows, periodEnds, byKinds } = geometry;
  const looks = byKinds?.held.looks ?? everyRow(periodRows, Math.ceil((periodRows * periodEnds) / most));
  const size = looks.length * periodEnds;
  const top = new Float32Array(size);
  const bottom = new Float32Array(size);
  const step = rowsPerPause(periodEnds);
  for (let look = 0; look < looks.length; look += step) {
    surfaces(problem, geometry, look, Math.min(looks.length, look + step), looks, top, bottom);
    if (look + step < looks.length) yield;
  }
  const tenth = Math.max(1, Math.round(size / 10));
  const highest = meanOfGreatest(top, tenth, 1);
  yield;
  return highest + meanOfGreatest(bottom, tenth, -1);
}
