import { type ReadonlyVec3, vec3 } from 'gl-matrix';

/**
 * Shares of the light that an embossed film turns into the first, second and third order, on each side: those of a thin
 * sinusoidal phase grating, Jm²(a) (Goodman, Introduction to Fourier Optics, 4.4), at a = 1.5 rad, which relief of 0.1 µm under
 * lacquer has (2π n h/λ; the depth from memory). At most max J1² = 0.339 goes into one order.
 */
export const ORDER_SHARES = [0.311, 0.054, 0.004] as const;
export const GRATING_SHARE = 2 * (ORDER_SHARES[0] + ORDER_SHARES[1] + ORDER_SHARES[2]);

/**
 * Wavelengths that red, green and blue light of a white source stand for: Gaussians of unit area, middle and standard
 * deviation in µm (estimate from sRGB's primaries; negative lobes left out, so spectral colours are a little pale).
 */
export const CHANNEL_MIDDLE_UM = [0.605, 0.545, 0.455] as const;
export const CHANNEL_SPREAD_UM = [0.032, 0.035, 0.024] as const;

/**
 * Sine of the angle at which an order leaves a grating: d (sin θi + sin θm) = m λ (Born & Wolf, 8.6).
 * @returns NaN where that order does not exist
 */
export function orderSine(pitchUm: number, order: number, wavelengthUm: number, sineIn: number): number {
  const sine = (order * wavelengthUm) / pitchUm - sineIn;
  return Math.abs(sine) <= 1 ? sine : Number.NaN;
}

/** Standard deviation of ω·b, ω the sum of two unit directions, that facets of roughness α give about a mirror. */
export function gratingBlur(alpha: number): number {
  return Math.SQRT2 * alpha;
}

/** Φ(z) ≈ 1 / (1 + exp(−1.702 z)), within 0.0095 (the logistic curve as D. J. Finney's probit, from memory). */
export function normalBelow(z: number): number {
  return 1 / (1 + Math.exp(-1.702 * z));
}

/**
 * Share of the light that a grating leaves to the mirror, per channel: what its orders do not take. An order exists where its
 * sine along the ruling's tangent, m λ/d off the mirror's, and the one square to it lie within 1 together; where it does not, its light
 * goes to those that exist (R. Petit ed. 1980, Electromagnetic theory of gratings: a perfect conductor's efficiencies sum to 1);
 * that it goes to the mirror alone, which always exists, is our estimate. Blurred by spectrum and facets as the orders are.
 * Even in both sines, so symmetric where they are those of half the difference of two directions.
 * @param along sine of the mirrored direction along the ruling's tangent, −1..1
 * @param across the same square to it
 */
export function gratingMirrors(out: vec3, pitchUm: number, along: number, across: number, alpha: number): vec3 {
  const blur2 = gratingBlur(alpha) ** 2;
  for (let c = 0; c < 3; c++) {
    out[c] = 1;
    for (let k = 0; k < ORDER_SHARES.length; k++) {
      const perOrder = pitchUm / (k + 1);
      for (const hand of [-1, 1]) {
        const u = along + (hand * CHANNEL_MIDDLE_UM[c]) / perOrder;
        // Distance from the middle of the disc of sines, and how far the order is spread that way.
        const far = Math.hypot(u, across);
        const spread = Math.sqrt(blur2 + ((u / Math.max(1e-6, far)) * (CHANNEL_SPREAD_UM[c] / perOrder)) ** 2);
        out[c] -= ORDER_SHARES[k] * normalBelow((1 - far) / spread);
      }
    }
  }
  return out;
}

function gaussian(x: number, width: number): number {
  return Math.exp((-0.5 * x * x) / (width * width)) / (width * Math.sqrt(2 * Math.PI));
}

/**
 * What the orders of a grating ruled square to `tangent` add, 1/sr per channel, for a film that reflects all; multiply
 * by its reflectance, and the mirrored light by `gratingMirrors`.
 *
 * With u = t·(ωi + ωo), v = b·(ωi + ωo) an order m sends wavelength d|u|/m along v = 0 (J. Stam 1999, Diffraction
 * shaders, SIGGRAPH; grating equation). Since cos θ dω = du dv, an order of share η is η (d/m) S(d|u|/m) g(v) with S the
 * channel's spectrum, blurred by the facets; it holds its energy save what would leave below the surface, which `gratingMirrors` keeps. Symmetric.
 */
export function gratingBrdf(
  out: vec3,
  pitchUm: number,
  toLight: ReadonlyVec3,
  toEye: ReadonlyVec3,
  tangent: ReadonlyVec3,
  side: ReadonlyVec3,
  alpha: number,
): vec3 {
  const blur = gratingBlur(alpha);
  const u = Math.abs(vec3.dot(tangent, toLight) + vec3.dot(tangent, toEye));
  const across = gaussian(vec3.dot(side, toLight) + vec3.dot(side, toEye), blur);
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    for (let k = 0; k < ORDER_SHARES.length; k++) {
      const perOrder = pitchUm / (k + 1);
      const spread = Math.hypot(CHANNEL_SPREAD_UM[c], perOrder * blur);
      sum += ORDER_SHARES[k] * perOrder * gaussian(perOrder * u - CHANNEL_MIDDLE_UM[c], spread);
    }
    out[c] = sum * across;
  }
  return out;
}
