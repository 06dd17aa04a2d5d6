/** Ends that pucker on their own are one stripe: they must be slack together over this width, mm. */
const STRIPE_MM = 5;
/** Less is taken up by the yarn's stretch under tension (common practice: a per cent of difference is felt). */
export const LEAST_SLACK_MM_PER_M = 8;
/** Share of itself within which a stripe's slack is known, 80 % (estimate). */
export const SLACK_DOUBT = 0.5;

/** Mean of a value of ends over the stripe about each. */
export function smoothOverStripes(endXMm: ArrayLike<number>, over: Float64Array): Float64Array {
  const ends = over.length;
  const smooth = new Float64Array(ends);
  let [from, to, sum] = [0, 0, 0];
  for (let end = 0; end < ends; end++) {
    while (to < ends && endXMm[to] - endXMm[end] <= STRIPE_MM / 2) sum += over[to++];
    while (endXMm[end] - endXMm[from] > STRIPE_MM / 2) sum -= over[from++];
    smooth[end] = sum / (to - from);
  }
  return smooth;
}
