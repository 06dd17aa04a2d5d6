/**
 * A wound cone, seen from above in diffuse light, by the reflectance of its yarn: touching turns shade one another and
 * light one another. Radiance of a row of touching round matt yarns on a plane of yarns under an even sky, mean over
 * the width seen, by radiosity between neighbouring arcs; the sky alone gives 0.802 at reflectance near 0 (tested
 * against that computation).
 */
const REFLECTANCE = Float64Array.from([0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1]);
const CONE = Float64Array.from([
  0, 0.040348, 0.081212, 0.164611, 0.250494, 0.33924, 0.431359, 0.527561, 0.628908, 0.737173, 0.794877, 0.855961,
  0.922091, 1,
]);
const LAST = REFLECTANCE.length - 1;

/** Slopes of the monotone cubic through the nodes (F. N. Fritsch & J. Butland 1984, SIAM J. Sci. Stat. Comput. 5, 300). */
const SLOPES = monotoneSlopes(REFLECTANCE, CONE);

function monotoneSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const slope = (k: number): number => (y[k + 1] - y[k]) / (x[k + 1] - x[k]);
  const out = new Float64Array(x.length);
  out[0] = 1.5 * slope(0) - 0.5 * slope(1);
  out[LAST] = 1.5 * slope(LAST - 1) - 0.5 * slope(LAST - 2);
  for (let k = 1; k < LAST; k++) out[k] = (2 * slope(k - 1) * slope(k)) / (slope(k - 1) + slope(k));
  return out;
}

/** Value and slope of the cubic in segment k at t, 0..1. */
function cubic(k: number, t: number): [number, number] {
  const h = REFLECTANCE[k + 1] - REFLECTANCE[k];
  const a = CONE[k];
  const b = CONE[k + 1];
  const p = h * SLOPES[k];
  const q = h * SLOPES[k + 1];
  const c2 = 3 * (b - a) - 2 * p - q;
  const c3 = 2 * (a - b) + p + q;
  return [a + t * (p + t * (c2 + t * c3)), p + t * (2 * c2 + 3 * t * c3)];
}

function segmentOf(nodes: Float64Array, value: number): number {
  let k = 0;
  while (k < LAST - 1 && value >= nodes[k + 1]) k++;
  return k;
}

/**
 * Cone colour of one channel, linear light, from the yarn's own reflectance; 0..1 to 0..1, rising.
 * @param reflectance clamped to 0..1
 */
export function coneColourOfReflectance(reflectance: number): number {
  const value = Math.min(1, Math.max(0, reflectance));
  const k = segmentOf(REFLECTANCE, value);
  return cubic(k, (value - REFLECTANCE[k]) / (REFLECTANCE[k + 1] - REFLECTANCE[k]))[0];
}

/** The exact inverse, to 1e-12. */
export function reflectanceOfConeColour(cone: number): number {
  const value = Math.min(1, Math.max(0, cone));
  const k = segmentOf(CONE, value);
  let low = 0;
  let high = 1;
  let t = (value - CONE[k]) / (CONE[k + 1] - CONE[k]);
  for (let step = 0; step < 60; step++) {
    const [y, slope] = cubic(k, t);
    const miss = y - value;
    if (Math.abs(miss) < 1e-14) break;
    if (miss > 0) high = t;
    else low = t;
    const next = t - miss / slope;
    t = next > low && next < high ? next : 0.5 * (low + high);
  }
  return REFLECTANCE[k] + t * (REFLECTANCE[k + 1] - REFLECTANCE[k]);
}

/**
 * `fibreReflectance` of one channel from the cone colour that a designer picks (linear light).
 *
 * The yarn returns E + ρ (1 − E), E what its surface lobe returns in diffuse light; so the surface's share is taken off
 * first. Colours darker than the surface alone give 0: no dye makes a yarn darker than its own gloss.
 * @param surfaceAlbedo E, 0..1 (`meanSurfaceAlbedo`); 0 for a matt yarn without a surface lobe
 */
export function fibreReflectance(cone: number, surfaceAlbedo = 0): number {
  return Math.max(0, (reflectanceOfConeColour(cone) - surfaceAlbedo) / (1 - surfaceAlbedo));
}

/** Cone colour of one channel (linear light) from `fibreReflectance`. */
export function coneColour(reflectance: number, surfaceAlbedo = 0): number {
  return coneColourOfReflectance(surfaceAlbedo + reflectance * (1 - surfaceAlbedo));
}
