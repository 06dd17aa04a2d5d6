import type { SurfaceKind, YarnOptics } from '#engine/yarn/yarnOptics.ts';
import { LEAST_ROUGHNESS } from './facets.ts';
import { CHANNEL_MIDDLE_UM, CHANNEL_SPREAD_UM, ORDER_SHARES } from './grating.ts';
import { MOST_TILT_RAD, TABLE_LEVELS, TABLE_NODES } from './scatterLayout.ts';
import { fibreLobesOf } from './scatterTable.ts';

/**
 * A yarn's optics as `OPTICS_TEXELS` RGBA texels of the material table, read by `readOptics` in
 * `shaders/scatter/optics.glsl`:
 *   0: kind, block, eta, isotropy
 *   1: surfaceWidthRad (fibre) or roughness, volumeWidthRad (fibre) or metalReflectance, fibreAngleRad, gratingPitchUm
 *   2: throughShare, gratingPatchMm, facetTiltRad or fibreRelief (fibre), facetLengthMm
 * Colour stands apart, one a strand: fibreReflectance, or the lacquer's T².
 */
export const OPTICS_TEXELS = 3;
export const SURFACE_KINDS: readonly SurfaceKind[] = ['fibre', 'metal', 'clear'];

export function writeOptics(out: Float32Array, at: number, optics: YarnOptics, block: number): void {
  const fibre = optics.surface === 'fibre';
  const lobes = fibreLobesOf(optics);
  out.set(
    [
      SURFACE_KINDS.indexOf(optics.surface),
      block,
      fibre ? lobes.eta : optics.eta,
      lobes.isotropy,
      fibre ? lobes.surfaceWidthRad : optics.roughness,
      fibre ? lobes.volumeWidthRad : optics.metalReflectance,
      optics.fibreAngleRad,
      optics.gratingPitchUm,
      optics.throughShare,
      optics.gratingPatchMm ?? 0,
      fibre ? (optics.fibreRelief ?? 1) : optics.facetTiltRad,
      optics.facetLengthMm,
    ],
    at,
  );
}

/** Preprocessor names that the scattering shaders need. */
export const scatterDefines: Readonly<Record<string, string>> = {
  SCATTER_NODES: `${TABLE_NODES}`,
  SCATTER_LEVELS: `${TABLE_LEVELS}`,
  SCATTER_MOST_TILT: MOST_TILT_RAD.toFixed(9),
  LEAST_ROUGHNESS: `${LEAST_ROUGHNESS}`,
  GRATING_SHARES: `vec3(${ORDER_SHARES.join(', ')})`,
  CHANNEL_MIDDLE_UM: `vec3(${CHANNEL_MIDDLE_UM.join(', ')})`,
  CHANNEL_SPREAD_UM: `vec3(${CHANNEL_SPREAD_UM.join(', ')})`,
  SURFACE_FIBRE: '0',
  SURFACE_METAL: '1',
  SURFACE_CLEAR: '2',
};
