import { ALUMINIUM_IN_LACQUER, LACQUER_INDEX } from './filmOptics.ts';
import type { YarnOptics } from './yarnOptics.ts';

/**
 * Transfer foil on cloth: aluminium under tinted lacquer, as on film, but pressed over fibres, so that it is rougher and leans
 * this way and that in small facets (estimates beside wound film: α 0.2, 9° in 0.5 mm).
 */
export const leafOptics: YarnOptics = {
  surface: 'metal',
  eta: LACQUER_INDEX,
  surfaceWidthRad: 0,
  volumeWidthRad: 0,
  isotropy: 0,
  exposure: 0,
  roughness: 0.22,
  metalReflectance: ALUMINIUM_IN_LACQUER,
  throughShare: 0,
  fibreAngleRad: 0,
  facetTiltRad: (8 * Math.PI) / 180,
  facetLengthMm: 0.5,
  gratingPitchUm: 0,
  provenance: {
    eta: 'from memory',
    metalReflectance: 'computed from Rakić 1995',
    roughness: 'estimate',
    facetTiltRad: 'estimate',
  },
};
