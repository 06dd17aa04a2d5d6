import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';

/** Bins over the range of heights; a mean is then exact but for one bin's share, far below a micrometre. */
const BINS = 2048;

/** Upper and lower surface of the cloth at the distinct crossings of rows from .. to − 1 of those looked at, every `every`th. */
function surfaces(
  problem: ClothProblem,
  geometry: ClothGeometry,
  from: number,
  to: number,
  every: number,
  top: Float32Array,
  bottom: Float32Array,
): void {
  const { periodEnds, warp, weft } = geometry;
  const { yarns, endYarn, rowYarn, rowFirst, rowLast } = problem;
  const halfHeight = Float64Array.from(yarns, (body) => body.contactHeightMm / 2);
  for (let look = from; look < to; look++) {
    const row = look * every;
    const weftHalf = halfHeight[rowYarn[row]];
    const first = rowFirst[row];
    const last = rowLast[row];
    for (let end = 0, k = row * periodEnds, out = look * periodEnds; end < periodEnds; end++, k++, out++) {
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
function meanOfGreatest(values: Float32Array, count: number, sign: 1 | -1): number {
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

/**
 * Mean height of the highest tenth of the crossings' upper surfaces less that of the lowest tenth of the lower ones, mm.
 * Pauses now and then.
 * @param most crossings looked at; of more distinct ones some rows, evenly
 */
export function* clothThickness(problem: ClothProblem, geometry: ClothGeometry, most: number): Generator<void, number> {
  const { periodRows, periodEnds } = geometry;
  let every = Math.max(1, Math.ceil((periodRows * periodEnds) / most));
  // An odd step falls in step with fewer weaves.
  if (every % 2 === 0) every++;
  const looks = Math.ceil(periodRows / every);
  const size = looks * periodEnds;
  const top = new Float32Array(size);
  const bottom = new Float32Array(size);
  const step = rowsPerPause(periodEnds);
  for (let look = 0; look < looks; look += step) {
    surfaces(problem, geometry, look, Math.min(looks, look + step), every, top, bottom);
    if (look + step < looks) yield;
  }
  const tenth = Math.max(1, Math.round(size / 10));
  const highest = meanOfGreatest(top, tenth, 1);
  yield;
  return highest + meanOfGreatest(bottom, tenth, -1);
}
