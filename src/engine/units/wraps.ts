import type { Millimetres, PerCentimetre, Tex } from './units.ts';

/** How wide a yarn of a given linear density lies when wound: rises with tex, and depends on fibre and packing. */
export type DiameterLaw = (tex: Tex) => Millimetres;

/** Turns lying side by side in a cm of ruler. */
export function wrapsPerCm(tex: Tex, diameterMm: DiameterLaw): PerCentimetre {
  return 10 / diameterMm(tex);
}

const LIGHTEST_TEX = 1e-3;
const HEAVIEST_TEX = 1e6;

/**
 * The linear density whose wraps per cm are as counted, by halving the interval (in log tex) under the same law.
 * @throws RangeError where no yarn of 0.001 tex to 1 kg/m would lie that close or that wide.
 */
export function texFromWrapsPerCm(wraps: PerCentimetre, diameterMm: DiameterLaw): Tex {
  let low = Math.log(LIGHTEST_TEX);
  let high = Math.log(HEAVIEST_TEX);
  const wanted = 10 / wraps;
  if (!(wanted >= diameterMm(LIGHTEST_TEX) && wanted <= diameterMm(HEAVIEST_TEX))) {
    throw new RangeError(`${wraps} wraps per cm fit no yarn of ${LIGHTEST_TEX} to ${HEAVIEST_TEX} tex. Count again.`);
  }
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (diameterMm(Math.exp(middle)) < wanted) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
