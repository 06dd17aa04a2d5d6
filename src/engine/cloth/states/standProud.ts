import type { CurveField } from '#engine/cloth/clothTypes.ts';
import { curveLength } from '#engine/cloth/curve.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/** Less than this of its length a thread hides in its crimp. */
const LEAST_OVER = 0.002;
/** No loop stands higher than this share of the span over which it floats. */
const MOST_RISE = 0.6;
const HALVINGS = 24;

/**
 * Wefts that are longer than the cloth takes up (film that does not shrink among yarns that do) buckle outward: each float
 * rises by half a sine over its span, away from what it crosses, until the row has its own length. Threads that it crosses
 * stay; nothing is run into, since it only leaves them.
 * @param field of the wefts, changed in place; row-major over periodRows × periodEnds
 * @param over length left over per row, share of its length
 * @param pitchMm of the ends, one a space; the last closes the repeat
 */
export function standProud(
  field: CurveField,
  drawdown: Drawdown,
  rows: number,
  ends: number,
  repeats: boolean,
  over: Float64Array,
  pitchMm: Float64Array,
): void {
  const profile = new Float64Array(ends);
  const steep = new Float64Array(ends);
  for (let row = 0; row < rows; row++) {
    if (!(over[row] > LEAST_OVER)) continue;
    const widest = floatProfile(drawdown, row, ends, repeats, profile);
    for (let end = 0; end < ends; end++) {
      const before = end > 0 ? end - 1 : repeats ? ends - 1 : 0;
      const after = end + 1 < ends ? end + 1 : repeats ? 0 : end;
      const reach = pitchMm[before] + pitchMm[Math.min(end, pitchMm.length - 1)];
      steep[end] = reach > 0 ? (profile[after] - profile[before]) / reach : 0;
    }
    const first = row * ends;
    const height = field.heightMm.slice(first, first + ends);
    const slope = field.slope.slice(first, first + ends);
    const rise = (amount: number): number => {
      let length = 0;
      for (let end = 0; end < ends; end++) {
        field.heightMm[first + end] = height[end] + amount * profile[end];
        field.slope[first + end] = slope[end] + amount * steep[end];
      }
      for (let end = 0; end < (repeats ? ends : ends - 1); end++)
        length += curveLength(field, first + end, first + ((end + 1) % ends), pitchMm[end]);
      return length;
    };
    const wanted = rise(0) * (1 + over[row]);
    let low = 0;
    let high = MOST_RISE * (widest + 1) * (pitchMm.reduce((sum, p) => sum + p, 0) / pitchMm.length);
    if (rise(high) <= wanted) continue;
    for (let k = 0; k < HALVINGS; k++) {
      const middle = (low + high) / 2;
      if (rise(middle) < wanted) low = middle;
      else high = middle;
    }
    rise(low);
  }
}

/** Half a sine over each float of the row, up on the face and down on the back; returns the longest float in ends. */
function floatProfile(drawdown: Drawdown, row: number, ends: number, repeats: boolean, profile: Float64Array): number {
  const up = (end: number) => isWarpUp(drawdown, row, ((end % ends) + ends) % ends);
  let start = 0;
  // A float that runs over the edge of the repeat is one.
  if (repeats) while (start < ends && up(start) === up(start - 1)) start++;
  if (start === ends) {
    profile.fill(0);
    return 0;
  }
  let widest = 0;
  for (let from = start; from < start + ends; ) {
    let to = from + 1;
    while (to < start + ends && up(to) === up(from)) to++;
    const sign = up(from) ? -1 : 1;
    widest = Math.max(widest, to - from);
    for (let k = from; k < to; k++) {
      profile[k % ends] = sign * Math.sin((Math.PI * (k - from + 0.5)) / (to - from));
    }
    from = to;
  }
  return widest;
}
