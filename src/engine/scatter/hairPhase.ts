import type { YarnOptics } from '#engine/yarn/yarnOptics.ts';

/**
 * One fibre in the open. Light that meets it goes over the whole sphere: some off its surface, back round the fibre
 * (N = cos(φ/2)/4, Marschner et al. 2003), the rest through it and within, partly on forwards (N = (1 − cos φ)²/(3π)),
 * partly all round. Along the fibre both spread by the energy-conserving function of E. d'Eon et al. 2011 ("An
 * energy-conserving hair reflectance model", Comput. Graph. Forum 30(4); from memory),
 *   M(θi, θo) = I0(cos θi cos θo / v) exp(−sin θi sin θo / v) / (2 v sinh(1/v)),
 * whose integral over cos θi dθi is exactly 1; each N's integral over φ is 1 too. The sum is symmetric in its two
 * directions and returns all light where nothing is absorbed, without a table.
 */
export interface HairLight {
  /** Share returned by the surface, in the light's own colour. */
  readonly surface: number;
  /** Share that passes through or is scattered within, one channel. */
  readonly within: number;
  readonly surfaceVariance: number;
  readonly withinVariance: number;
  /** 0..1, of what is within. */
  readonly forward: number;
}

/** Least and greatest standard deviation of the surface's lobe along the fibre, rad: no fibre lies quite straight. */
const LEAST_WIDTH = 0.12;
const MOST_WIDTH = 0.6;

/**
 * A fibre of a yarn whose fibres lying together return `reflectance` (0..1): alone it absorbs less. Between the two
 * stands R = (1 − γ)/(1 + γ), γ = √(1 − w), for a deep bed of scatterers of albedo w (Hapke 1981, J. Geophys. Res. 86,
 * 3039), so that w = 4R/(1 + R)².
 */
export function hairLight(
  optics: Pick<YarnOptics, 'eta' | 'surfaceWidthRad' | 'isotropy'>,
  reflectance: number,
): HairLight {
  const surface = cylinderReflectance(optics.eta);
  const width = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, optics.surfaceWidthRad));
  return {
    surface,
    within: ((1 - surface) * 4 * reflectance) / (1 + reflectance) ** 2,
    surfaceVariance: width * width,
    withinVariance: 4 * width * width,
    forward: 1 - optics.isotropy,
  };
}

/** Per steradian, of the light that meets the fibre; directions are unit vectors away from it. */
export function hairPhase(
  h: HairLight,
  tangent: ArrayLike<number>,
  toEye: ArrayLike<number>,
  toLight: ArrayLike<number>,
): number {
  const si = Math.min(1, Math.max(-1, dot(toLight, tangent)));
  const so = Math.min(1, Math.max(-1, dot(toEye, tangent)));
  const ci = Math.sqrt(1 - si * si);
  const co = Math.sqrt(1 - so * so);
  const cosPhi = Math.min(1, Math.max(-1, (dot(toEye, toLight) - si * so) / Math.max(1e-6, ci * co)));
  const back = Math.sqrt(0.5 + 0.5 * cosPhi) / 4;
  const ahead = (1 - cosPhi) ** 2 / (3 * Math.PI);
  const within = (1 - h.forward) / (2 * Math.PI) + h.forward * ahead;
  return (
    h.surface * back * longitudinal(h.surfaceVariance, si * so, ci * co) +
    h.within * within * longitudinal(h.withinVariance, si * so, ci * co)
  );
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function longitudinal(v: number, sines: number, cosines: number): number {
  return (scaledBessel0(cosines / v) * Math.exp((cosines - sines - 1) / v)) / (v * (1 - Math.exp(-2 / v)));
}

/** I0(x) e^−x, x ≥ 0; |relative error| ≤ 3e-7 (Abramowitz & Stegun 9.8.1 and 9.8.2). */
export function scaledBessel0(x: number): number {
  if (x < 3.75) {
    const y = (x * x) / 14.0625;
    const sum =
      1 + y * (3.5156229 + y * (3.0899424 + y * (1.2067492 + y * (0.2659732 + y * (0.0360768 + y * 0.0045813)))));
    return sum * Math.exp(-x);
  }
  const y = 3.75 / x;
  let sum = 0;
  for (const c of [
    0.00392377, -0.01647633, 0.02635537, -0.02057706, 0.00916281, -0.00157565, 0.00225319, 0.01328592, 0.39894228,
  ]) {
    sum = sum * y + c;
  }
  return sum / Math.sqrt(x);
}

/**
 * Fresnel reflectance averaged over the width of a cylinder that is met square to it: a quadratic in the index through the
 * exact integral, within 0.0002 from 1.3 to 1.8.
 */
export function cylinderReflectance(eta: number): number {
  const x = eta - 1.5;
  return 0.068 + x * (0.1387 + x * 0.0066);
}
