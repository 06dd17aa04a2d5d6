import { dielectricFresnel } from './fresnel.ts';

/** Lobes of one yarn's fibres. Angles in radians. */
export interface FibreLobes {
  /** Refractive index of the fibre. */
  readonly eta: number;
  /** Standard deviation of the surface lobe, in the half inclination θh. */
  readonly surfaceWidthRad: number;
  /** The same of the volume lobe. */
  readonly volumeWidthRad: number;
  /** kd, 0..1: light scattered within fibres (delustrant, pigment) against light that passes along the lobe. */
  readonly isotropy: number;
  /** Share by which packed fibre faces, side by side, show more of their first surface than a bed of loose ones: 1..2. */
  readonly exposure: number;
}

/** A direction against a fibre bed: inclination to the plane square to the fibre, azimuth from the bed's normal about the fibre. */
export interface FibreAngles {
  sinTheta: number;
  cosTheta: number;
  cosPhi: number;
  sinPhi: number;
}

/** Width of the brightening where light and eye lie at one azimuth: 20° (Sadeghi et al. 2013), as 1/rad². */
const SAME_AZIMUTH = (180 / Math.PI / 20) ** 2;
const INV_SQRT_TWO_PI = 0.3989422804014327;
/** Keeps quotients finite where a direction lies along the fibre or in the bed's plane. */
export const LEAST_COSINE = 1e-4;

/**
 * Angle of a sine, −1..1. π/2 − sqrt(1 − |x|) P(|x|), |error| ≤ 7e-5 rad (M. Abramowitz & I. A. Stegun 1964, 4.4.45):
 * shaders and this twin must bend alike, and built-in arcsines differ between drivers.
 */
export function arcsine(x: number): number {
  const a = Math.min(1, Math.abs(x));
  const p = 1.5707288 + a * (-0.2121144 + a * (0.074261 - a * 0.0187293));
  const angle = Math.PI / 2 - Math.sqrt(1 - a) * p;
  return x < 0 ? -angle : angle;
}

/** Share of the light that comes back out of a bed of fibres, by the two azimuths; symmetric. */
export function bedEscape(cosPhiI: number, cosPhiO: number, cosDeltaPhi: number): number {
  const same = Math.exp(-SAME_AZIMUTH * (1 - cosDeltaPhi));
  const sum = Math.max(LEAST_COSINE, cosPhiI + cosPhiO);
  return (1 - same) / sum + same / Math.max(LEAST_COSINE, Math.max(cosPhiI, cosPhiO));
}

/** Unit-area Gaussian. */
export function gaussian(x: number, width: number): number {
  const y = x / width;
  return (INV_SQRT_TWO_PI / width) * Math.exp(-0.5 * y * y);
}

/** Both lobes before their scale factors. */
export interface RawLobes {
  surface: number;
  volume: number;
}

/**
 * BRDF lobes of a bed of parallel fibres, before the tabulated scale factors (1/sr). Symmetric in i and o.
 *
 * Fibre: I. Sadeghi, O. Bisker, J. De Deken & H. W. Jensen 2013, ACM Trans. Graph. 32(2), art. 14, with
 * θh = (θi + θo)/2, θd = (θi − θo)/2, φd the difference of azimuths:
 *   surface F cos(φd/2) g(θh; γs)/8 (the hair normalisation, S. R. Marschner et al. 2003, in place of the paper's
 *   8-fold one), volume (1 − F)² [(1 − kd) g(θh; γv) + kd]/(cos θi + cos θo), both over cos² θd.
 * Bed: extinction along a ray is as 1/cos φ whatever its inclination, so single scattering leaves as 1/(cos φi + cos φo)
 * (H. Seeliger 1888 and E. Lommel 1889, in azimuth), and as 1/max where both directions pass the same fibres.
 */
export function rawLobes(out: RawLobes, lobes: FibreLobes, i: FibreAngles, o: FibreAngles): RawLobes {
  const cc = i.cosTheta * o.cosTheta;
  const ss = i.sinTheta * o.sinTheta;
  const cosTd = Math.sqrt(Math.max(LEAST_COSINE * LEAST_COSINE, 0.5 * (1 + cc + ss)));
  const thetaH = arcsine((0.5 * (i.sinTheta + o.sinTheta)) / cosTd);
  const cosDelta = Math.min(1, Math.max(-1, i.cosPhi * o.cosPhi + i.sinPhi * o.sinPhi));
  const cosHalf = Math.sqrt(0.5 * (1 + cosDelta));
  const fresnel = dielectricFresnel(cosTd * cosHalf, lobes.eta);
  const bed = bedEscape(i.cosPhi, o.cosPhi, cosDelta) / (cosTd * cosTd);
  const within = (1 - fresnel) * (1 - fresnel);
  const spread = (1 - lobes.isotropy) * gaussian(thetaH, lobes.volumeWidthRad) + lobes.isotropy;
  out.surface = 0.125 * fresnel * cosHalf * gaussian(thetaH, lobes.surfaceWidthRad) * bed;
  out.volume = ((within * spread) / Math.max(LEAST_COSINE, i.cosTheta + o.cosTheta)) * bed;
  return out;
}

/** The lobes of fibres whose inclination varies by `tiltVariance` (rad²): a tilt by δ moves θh by exactly δ. */
export function widen(width: number, tiltVariance: number): number {
  return Math.sqrt(width * width + tiltVariance);
}
