import { arcsine, type FibreAngles, type FibreLobes, LEAST_COSINE } from './fibreLobes.ts';

const HALF_PI = Math.PI / 2;
/** Scale of the logistic distribution whose shape is nearest a Gaussian's of width 1, with heavier tails. */
const LOGISTIC_OF_GAUSSIAN = 0.55;

/** Chances of the three ways in which light in is looked for; they sum to 1. */
export interface LobeChances {
  surface: number;
  volume: number;
  even: number;
}

/**
 * Chances by how much light each lobe returns.
 * @param surfaceAlbedo E_s of the direction out
 * @param reflectance brightest channel of `fibreReflectance`
 */
export function lobeChances(
  out: LobeChances,
  lobes: FibreLobes,
  surfaceAlbedo: number,
  reflectance: number,
): LobeChances {
  const within = (1 - surfaceAlbedo) * reflectance;
  out.surface = Math.min(0.9, Math.max(0.1, surfaceAlbedo / Math.max(1e-6, surfaceAlbedo + within)));
  // Over all inclinations the Gaussian's area is 2 in θi, the even part's π.
  const even = lobes.isotropy * Math.PI;
  const share = even / (even + 2 * (1 - lobes.isotropy));
  out.volume = (1 - out.surface) * (1 - share);
  out.even = (1 - out.surface) * share;
  return out;
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

/** Density, per radian of θh, of the logistic cut to inclinations within ±π/2. */
function lobeDensity(thetaH: number, thetaO: number, width: number): number {
  const scale = LOGISTIC_OF_GAUSSIAN * width;
  const from = logistic((thetaO - HALF_PI) / (2 * scale));
  const to = logistic((thetaO + HALF_PI) / (2 * scale));
  const y = logistic(thetaH / scale);
  return (y * (1 - y)) / (scale * (to - from));
}

/**
 * Density per steradian with which `sampleFibre` finds a direction; 0 below the surface. Its integral over the outer
 * hemisphere is 1 to 1e-3.
 * @param lobes as used in the pixel, widened already
 */
export function fibrePdf(lobes: FibreLobes, chances: LobeChances, i: FibreAngles, o: FibreAngles): number {
  if (i.cosPhi <= 0) return 0;
  const thetaO = arcsine(o.sinTheta);
  const thetaH = 0.5 * (arcsine(i.sinTheta) + thetaO);
  const cosTheta = Math.max(LEAST_COSINE, i.cosTheta);
  const theta =
    (0.5 *
      (chances.surface * lobeDensity(thetaH, thetaO, lobes.surfaceWidthRad) +
        chances.volume * lobeDensity(thetaH, thetaO, lobes.volumeWidthRad))) /
      cosTheta +
    0.5 * chances.even;
  return theta * (0.25 * i.cosPhi + 0.5 / Math.PI);
}

/**
 * Light in for light out: inclination by one of the lobes, azimuth half by its cosine, half evenly.
 * @param u four numbers in 0..1: lobe, inclination, azimuth's way, azimuth
 */
export function sampleFibre(
  out: FibreAngles,
  lobes: FibreLobes,
  chances: LobeChances,
  o: FibreAngles,
  u: ArrayLike<number>,
): FibreAngles {
  if (u[0] < chances.even) {
    out.sinTheta = 2 * u[1] - 1;
  } else {
    const width = u[0] < chances.even + chances.surface ? lobes.surfaceWidthRad : lobes.volumeWidthRad;
    const thetaO = arcsine(o.sinTheta);
    const scale = LOGISTIC_OF_GAUSSIAN * width;
    const from = logistic((thetaO - HALF_PI) / (2 * scale));
    const to = logistic((thetaO + HALF_PI) / (2 * scale));
    const y = Math.min(1 - 1e-6, Math.max(1e-6, from + (to - from) * u[1]));
    const thetaI = 2 * scale * Math.log(y / (1 - y)) - thetaO;
    out.sinTheta = Math.sin(Math.min(HALF_PI, Math.max(-HALF_PI, thetaI)));
  }
  out.cosTheta = Math.sqrt(Math.max(LEAST_COSINE * LEAST_COSINE, 1 - out.sinTheta * out.sinTheta));
  out.sinPhi = u[2] < 0.5 ? 2 * u[3] - 1 : Math.sin(Math.PI * (u[3] - 0.5));
  out.cosPhi = Math.sqrt(Math.max(0, 1 - out.sinPhi * out.sinPhi));
  return out;
}
