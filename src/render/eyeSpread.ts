/** One minute of arc, rad. */
const ARCMIN = Math.PI / (180 * 60);

/**
 * How the eye spreads a point: a Gaussian whose width at half height is 1 arcmin, as a good eye in daylight has it
 * (line spread of the eye: F. W. Campbell & R. W. Gubisch 1966, J. Physiol. 186; from memory). It keeps 41 % of the
 * contrast at 2 arcmin a line pair, the line that is read on a test chart by normal sight, and 3 % at 1 arcmin, about the
 * least that is seen.
 */
const SIGMA_ARCMIN = 1 / (2 * Math.sqrt(2 * Math.LN2));

/** Standard deviation of the eye's spread on a cloth held at a distance, mm. */
export function eyeSpreadMm(distanceMm: number): number {
  return SIGMA_ARCMIN * Math.tan(ARCMIN) * distanceMm;
}

/** The same in picture pixels, at the scale of the picture's middle. */
export function eyeSpreadPx(distanceMm: number, pixelsPerMm: number): number {
  return eyeSpreadMm(distanceMm) * pixelsPerMm;
}

/** Share of the contrast of stripes, one pair a pitch, that is left at a distance: the spread's Fourier transform, 0..1. */
export function contrastLeft(pitchMm: number, distanceMm: number): number {
  const ratio = eyeSpreadMm(distanceMm) / pitchMm;
  return Math.exp(-2 * Math.PI ** 2 * ratio * ratio);
}

/** Where threads or stripes of a pitch blend: beyond this distance (mm) a pair of them is less than 1 arcmin wide. */
export function blendDistanceMm(pitchMm: number): number {
  return pitchMm / Math.tan(ARCMIN);
}
