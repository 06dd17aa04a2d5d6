/**
 * Unpolarised reflectance of a smooth dielectric, from air: the mean of s and p (M. Born & E. Wolf, Principles of
 * Optics, 1.5; in the form of R. L. Cook & K. E. Torrance 1982, ACM Trans. Graph. 1, 7). Exact.
 * @param cosine of the incidence, 0..1
 * @param eta refractive index relative to outside, ≥ 1; 1 reflects nothing
 */
export function dielectricFresnel(cosine: number, eta: number): number {
  const c = Math.min(1, Math.max(0, cosine));
  const g = Math.sqrt(eta * eta - 1 + c * c);
  if (g + c <= 0) return 1;
  const a = (g - c) / (g + c);
  const b = (c * (g + c) - 1) / (c * (g - c) + 1);
  return 0.5 * a * a * (1 + b * b);
}

/**
 * Unpolarised reflectance of a metal of index n + ik, both relative to what lies outside (Born & Wolf, 14.2). Exact.
 * @param cosine of the incidence outside, 0..1
 */
export function conductorFresnel(cosine: number, n: number, k: number): number {
  const c2 = cosine * cosine;
  const s2 = 1 - c2;
  const t0 = n * n - k * k - s2;
  const a2b2 = Math.sqrt(t0 * t0 + 4 * n * n * k * k);
  const a = Math.sqrt(Math.max(0, 0.5 * (a2b2 + t0)));
  const rs = (a2b2 + c2 - 2 * cosine * a) / (a2b2 + c2 + 2 * cosine * a);
  const t3 = c2 * a2b2 + s2 * s2;
  const t4 = 2 * cosine * a * s2;
  return 0.5 * rs * (1 + (t3 - t4) / (t3 + t4));
}

/**
 * Reflectance of a clear sheet, both faces and all passes between them, incoherent: 2r/(1 + r). The rest passes:
 * (1 − r)/(1 + r) (G. G. Stokes 1862, Proc. R. Soc. 11, 545). With r unpolarised the error is under 0.02 to 75°.
 */
export function sheetReflectance(cosine: number, eta: number): number {
  const r = dielectricFresnel(cosine, eta);
  return (2 * r) / (1 + r);
}

/** Cosine within a medium of index eta for a cosine outside (Snell). */
export function refractedCosine(cosine: number, eta: number): number {
  return Math.sqrt(Math.max(0, 1 - (1 - cosine * cosine) / (eta * eta)));
}
