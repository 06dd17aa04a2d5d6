import { type ReadonlyVec3, vec3 } from 'gl-matrix';
import {
  CHANNEL_MIDDLE_UM,
  CHANNEL_SPREAD_UM,
  gratingBlur,
  gratingMirrors,
  normalBelow,
  ORDER_SHARES,
} from './grating.ts';

const half = new Float64Array(3);
const side = new Float64Array(3);
const sum = new Float64Array(3);
const apart = new Float64Array(3);
const rest = new Float64Array(3);
/** No nearer to a cap's rim than this share of its half width is its chord taken. */
const RIM = 0.98;

/** Share of a Gaussian about `middle` that lies within ± `width` of 0. */
function within(middle: number, width: number, deviation: number): number {
  return normalBelow((middle + width) / deviation) - normalBelow((middle - width) / deviation);
}

/**
 * Share of GGX facets whose slope lies within a disc of radius `radius` about a slope of size `slope`. GGX slopes,
 * α²/(π(α² + s²)²), are an even sphere seen in stereographic projection, which takes discs to caps: exactly sin²(ψ/2),
 * 2ψ the angle between what the two ends of the disc's diameter are taken to.
 */
export function facetsInDisc(alpha: number, slope: number, radius: number): number {
  const spread = Math.atan((slope + radius) / alpha) - Math.atan((slope - radius) / alpha);
  return Math.sin(0.5 * spread) ** 2;
}

/**
 * What a film that reflects all returns of a round, even light, over that light's own radiance, per channel: a film mirrors a
 * window with the window's outline, and each order of its grating shows the window again, a spectrum wide.
 *
 * Mirrored: facets whose halfway directions are the light's, as a disc of slopes of the same solid angle (dωh = dωi / 4 cos θd).
 * Orders: `gratingBrdf` over the light's disc, which is a chord long where the order's line crosses it. Both without what hides
 * light at grazing angles; within 6 % of the light's radiance (tests).
 * @param towards the light's middle, and the cosine of its half angle
 */
export function facetWindow(
  out: vec3,
  pitchUm: number,
  towards: ReadonlyVec3,
  cosHalfAngle: number,
  toEye: ReadonlyVec3,
  normal: ReadonlyVec3,
  tangent: ReadonlyVec3,
  alpha: number,
): vec3 {
  vec3.add(sum, towards, toEye);
  vec3.normalize(half, sum);
  const cosH = Math.max(0.05, vec3.dot(half, normal));
  const cosD = Math.max(0.05, vec3.dot(half, toEye));
  // Solid angle over π.
  const disc = 2 * (1 - cosHalfAngle);
  const radius = Math.sqrt(disc / (4 * cosD * cosH ** 3));
  const mirrored = facetsInDisc(alpha, Math.sqrt(Math.max(0, 1 - cosH * cosH)) / cosH, radius);
  if (!(pitchUm > 0)) return vec3.set(out, mirrored, mirrored, mirrored) as vec3;
  vec3.cross(side, normal, tangent);
  const reach = Math.sqrt(disc);
  const blur = gratingBlur(alpha);
  const halfU = reach * Math.sqrt(Math.max(0.01, 1 - vec3.dot(tangent, towards) ** 2));
  const halfV = reach * Math.sqrt(Math.max(0.01, 1 - vec3.dot(side, towards) ** 2));
  const u = Math.abs(vec3.dot(tangent, sum));
  const v = vec3.dot(side, sum);
  const off = Math.min(RIM, Math.abs(v) / halfV);
  // Blur wider than the light sees its mean chord.
  const wide = Math.min(1, blur / halfV);
  const chord = halfU * (Math.sqrt(1 - off * off) * (1 - wide) + (Math.PI / 4) * wide);
  const across = within(v, halfV, blur);
  vec3.sub(apart, towards, toEye);
  gratingMirrors(rest, pitchUm, 0.5 * vec3.dot(tangent, apart), 0.5 * vec3.dot(side, apart), alpha);
  for (let c = 0; c < 3; c++) {
    let orders = 0;
    for (let k = 0; k < ORDER_SHARES.length; k++) {
      const perOrder = pitchUm / (k + 1);
      const deviation = Math.hypot(CHANNEL_SPREAD_UM[c], perOrder * blur);
      orders += ORDER_SHARES[k] * within(perOrder * u - CHANNEL_MIDDLE_UM[c], perOrder * chord, deviation);
    }
    out[c] = rest[c] * mirrored + across * orders;
  }
  return out;
}
