import type { ReadonlyVec3, vec3 } from 'gl-matrix';

/** Least roughness that single precision and a picture's pixels can hold. */
export const LEAST_ROUGHNESS = 0.02;

/**
 * Density of facet normals, 1/sr: GGX (T. S. Trowbridge & K. P. Reitz 1975, J. Opt. Soc. Am. 65, 531; B. Walter,
 * S. R. Marschner, H. Li & K. E. Torrance 2007, EGSR). ∫ D cos dω = 1.
 * @param cosine of the half direction to the normal
 * @param alpha width, 0..1: the facets' slopes spread like α
 */
export function facetDensity(cosine: number, alpha: number): number {
  const a2 = alpha * alpha;
  const d = cosine * cosine * (a2 - 1) + 1;
  return a2 / (Math.PI * d * d);
}

/** Λ of B. Smith 1967 (IEEE Trans. AP-15, 668) for GGX: hidden over visible facets seen at an incidence. */
export function facetLambda(cosine: number, alpha: number): number {
  const c2 = Math.max(1e-8, cosine * cosine);
  return 0.5 * (Math.sqrt(1 + (alpha * alpha * (1 - c2)) / c2) - 1);
}

/** Share of facets lit and seen at once, heights correlated (E. Heitz 2014, J. Comput. Graph. Tech. 3(2)). */
export function facetVisibility(cosineI: number, cosineO: number, alpha: number): number {
  return 1 / (1 + facetLambda(cosineI, alpha) + facetLambda(cosineO, alpha));
}

/** Roughness of facets whose normals vary by `tiltVariance` (rad², about each of two axes): α² is twice the slopes' variance. */
export function widenRoughness(alpha: number, tiltVariance: number): number {
  return Math.min(1, Math.sqrt(alpha * alpha + 2 * tiltVariance));
}

/**
 * A visible facet's normal, with density D_o = G1(o) max(0, o·h) D(h)/o.z (E. Heitz 2018, J. Comput. Graph. Tech. 7(4)).
 * @param o unit, in the surface's axes with z the normal, z > 0
 * @param u, v uniform in 0..1
 */
export function sampleVisibleFacet(out: vec3, o: ReadonlyVec3, alpha: number, u: number, v: number): vec3 {
  let x = alpha * o[0];
  let y = alpha * o[1];
  let z = o[2];
  const length = Math.hypot(x, y, z);
  x /= length;
  y /= length;
  z /= length;
  const across = Math.hypot(x, y);
  const ax = across > 1e-7 ? -y / across : 1;
  const ay = across > 1e-7 ? x / across : 0;
  // (x, y, z) × a.
  const bx = -z * ay;
  const by = z * ax;
  const bz = x * ay - y * ax;
  const radius = Math.sqrt(u);
  const p = radius * Math.cos(2 * Math.PI * v);
  const lean = 0.5 * (1 + z);
  const q = (1 - lean) * Math.sqrt(Math.max(0, 1 - p * p)) + lean * radius * Math.sin(2 * Math.PI * v);
  const r = Math.sqrt(Math.max(0, 1 - p * p - q * q));
  const hx = alpha * (p * ax + q * bx + r * x);
  const hy = alpha * (p * ay + q * by + r * y);
  const hz = Math.max(1e-6, q * bz + r * z);
  const norm = Math.hypot(hx, hy, hz);
  out[0] = hx / norm;
  out[1] = hy / norm;
  out[2] = hz / norm;
  return out;
}

/**
 * Density per steradian of light in, where `sampleVisibleFacet` gives the facet that mirrors it: G1(o) D(h)/(4 cos θo).
 * Its integral over the outer hemisphere falls short of 1 by the light that facets throw below the surface.
 */
export function facetPdf(cosineH: number, cosineO: number, alpha: number): number {
  return facetDensity(cosineH, alpha) / (4 * cosineO * (1 + facetLambda(cosineO, alpha)));
}
