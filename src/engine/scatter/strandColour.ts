import type { LinearRgb } from '#engine/colour/colour.ts';
import type { YarnOptics } from '#engine/yarn/yarnOptics.ts';
import { coneColour, fibreReflectance, reflectanceOfConeColour } from './coneColour.ts';
import { type FacetSetting, metalReflectance } from './facetBrdf.ts';
import { lookUp, nodePlace, type ScatterTable, type TableEntry } from './scatterLayout.ts';

const entry: TableEntry = { r: 0, g: 0, b: 0, a: 0 };
const WIDTH_STEPS = 32;

/**
 * What the surface lobe of a round yarn returns of diffuse light, mean over its width seen square to its axis. Share of
 * 0..1; the same in every colour.
 */
export function meanSurfaceAlbedo(table: ScatterTable, block: number): number {
  let sum = 0;
  for (let k = 0; k < WIDTH_STEPS; k++) {
    const across = (k + 0.5) / WIDTH_STEPS;
    sum += lookUp(entry, table, block, 0, nodePlace(Math.sqrt(1 - across * across)), 0).b;
  }
  return sum / WIDTH_STEPS;
}

/**
 * How much of its gloss a cone colour was told with, at most `surface`. A colour with a channel darker than the gloss was
 * looked at past it, lit at 45° and seen square on, as yarns are compared by eye (ASTM D1729); taking all of the gloss off
 * would leave such a channel nothing and turn navy violet.
 */
function glossTold(cone: LinearRgb, surface: number): number {
  return Math.min(surface, ...cone.map(reflectanceOfConeColour));
}

/** T² of a lacquer (1 at most) under which metal returns `reflectance` at normal incidence. */
function lacquerTint(setting: Pick<FacetSetting, 'coatEta' | 'metalReflectance'>, reflectance: number): number {
  const r = ((setting.coatEta - 1) / (setting.coatEta + 1)) ** 2;
  const above = Math.max(0, reflectance - r);
  const base = above / ((1 - r) * (1 - r) + r * above);
  return Math.min(1, base / setting.metalReflectance);
}

/**
 * The colour that the scattering functions take, from the cone colour that a designer picks.
 *
 * Fibres: `fibreReflectance`, with touching turns and what the colour holds of the surface lobe (`glossTold`) taken off. Film and wire: T² of the lacquer, such
 * that film shows the colour flat on, and round thread as touching turns do. Clear stuff: T once through, its hue alone
 * (the brightest channel passes all).
 */
export function strandColour(cone: LinearRgb, optics: YarnOptics, table: ScatterTable, block: number): LinearRgb {
  if (optics.surface === 'fibre') {
    const surface = glossTold(cone, meanSurfaceAlbedo(table, block));
    return perChannel(cone, (value) => fibreReflectance(value, surface));
  }
  if (optics.surface === 'clear') {
    const brightest = Math.max(...cone);
    return brightest > 0 ? perChannel(cone, (value) => value / brightest) : [1, 1, 1];
  }
  const setting = { coatEta: optics.eta, metalReflectance: optics.metalReflectance };
  return perChannel(cone, (value) => lacquerTint(setting, isRound(optics) ? reflectanceOfConeColour(value) : value));
}

/** The cone colour that a strand shows: the inverse, where the colour can be had. Clear stuff: its hue. */
export function shownConeColour(strand: LinearRgb, optics: YarnOptics, table: ScatterTable, block: number): LinearRgb {
  if (optics.surface === 'fibre') {
    const surface = meanSurfaceAlbedo(table, block);
    return perChannel(strand, (value) => coneColour(value, surface));
  }
  if (optics.surface === 'clear') return strand;
  const setting: FacetSetting = {
    kind: 'metal',
    block,
    roughness: optics.roughness,
    coatEta: optics.eta,
    metalReflectance: optics.metalReflectance,
  };
  return perChannel(strand, (tint) => {
    const flat = metalReflectance(setting, tint, 1);
    return isRound(optics) ? coneColour(flat) : flat;
  });
}

/** Film wound round a core lies at an angle to its thread, and wire has no facets; film laid flat has and does not. */
function isRound(optics: YarnOptics): boolean {
  return optics.fibreAngleRad !== 0 || optics.facetTiltRad === 0;
}

function perChannel(colour: LinearRgb, map: (value: number) => number): LinearRgb {
  return [map(colour[0]), map(colour[1]), map(colour[2])];
}
