import { type ReadonlyVec3, vec3 } from 'gl-matrix';
import { facetDensity, facetVisibility, LEAST_ROUGHNESS } from './facets.ts';
import { dielectricFresnel, refractedCosine } from './fresnel.ts';
import { gratingBrdf, gratingMirrors } from './grating.ts';
import { lookUp, nodePlace, roughnessPlace, type ScatterTable, type TableEntry } from './scatterLayout.ts';

/** A film's surface: metal under a coat, bare metal (coatEta 1), or a clear sheet. */
export interface FacetSetting {
  readonly kind: 'metal' | 'clear';
  readonly block: number;
  /** α, 0.02..1. */
  readonly roughness: number;
  readonly coatEta: number;
  /** Of the bare metal at normal incidence, seen from within its coat, 0..1. */
  readonly metalReflectance: number;
  /** Of a grating ruled across the film; 0 or absent: none. */
  readonly gratingPitchUm?: number;
}

/** Scale factor and albedos of a direction against a faceted surface. */
export interface FacetDirection {
  cosine: number;
  scale: number;
  sheetAlbedo: number;
  frontAlbedo: number;
}

const entry: TableEntry = { r: 0, g: 0, b: 0, a: 0 };
const half = new Float64Array(3);
const side = new Float64Array(3);
const apart = new Float64Array(3);
const orders = new Float64Array(3);
const rest = new Float64Array(3);

export function createFacetDirection(): FacetDirection {
  return { cosine: 1, scale: 1, sheetAlbedo: 0, frontAlbedo: 0 };
}

export function facetDirection(
  out: FacetDirection,
  table: ScatterTable,
  block: number,
  normal: ReadonlyVec3,
  direction: ReadonlyVec3,
  roughness: number,
): FacetDirection {
  out.cosine = vec3.dot(normal, direction);
  lookUp(entry, table, block, nodePlace(out.cosine), roughnessPlace(Math.max(LEAST_ROUGHNESS, roughness)), 0);
  out.scale = entry.r;
  out.sheetAlbedo = entry.g;
  out.frontAlbedo = entry.b;
  return out;
}

/** Reflectance of a clear coat's base and both its passes, within the coat: what lies below the front face. */
function baseReflectance(setting: FacetSetting, tint: number, inner: number): number {
  const pass = setting.coatEta > 1 ? tint ** (1 / inner) : tint;
  return pass * (setting.metalReflectance + (1 - setting.metalReflectance) * (1 - inner) ** 5);
}

/**
 * Reflectance of metal under lacquer at one facet, all passes, incoherent: r + (1 − r)² A/(1 − r A), with r the front
 * face's and A = T^(2/cos) times the metal's (C. Schlick 1994 for its rise; within a coat it hardly has any).
 * 1 where T and the metal's reflectance are.
 * @param tint T², what the lacquer passes there and back at normal incidence, 0..1
 */
export function metalReflectance(setting: FacetSetting, tint: number, cosine: number): number {
  const r = dielectricFresnel(cosine, setting.coatEta);
  const base = baseReflectance(setting, tint, Math.max(1e-3, refractedCosine(cosine, setting.coatEta)));
  return r + ((1 - r) * (1 - r) * base) / (1 - r * base);
}

/** Reflectance of a clear sheet that passes `tint` once through: both faces, all passes. 2r/(1 + r) where tint is 1. */
export function tintedSheetReflectance(coatEta: number, tint: number, cosine: number): number {
  const r = dielectricFresnel(cosine, coatEta);
  const through = tint * tint;
  return r + ((1 - r) * (1 - r) * r * through) / (1 - r * r * through);
}

/**
 * BRDF of facets, 1/sr, per channel: D G2/(4 cos θi cos θo), scaled so that facets that reflect all return all, times
 * each facet's reflectance. Reciprocal by form; 0 below the surface.
 * @param tangent along the film, square to the normal: gratings are ruled across it
 * @param tint three channels: T² of the lacquer (metal), or T once through (clear)
 */
export function facetBrdf(
  out: vec3,
  setting: FacetSetting,
  tint: ReadonlyVec3,
  i: FacetDirection,
  o: FacetDirection,
  normal: ReadonlyVec3,
  tangent: ReadonlyVec3,
  toLight: ReadonlyVec3,
  toEye: ReadonlyVec3,
  roughness: number,
): vec3 {
  const alpha = Math.min(1, Math.max(LEAST_ROUGHNESS, roughness));
  const lit = i.cosine > 0 && o.cosine > 0;
  vec3.add(half, toLight, toEye);
  vec3.normalize(half, half);
  const cosD = vec3.dot(half, toEye);
  const value = lit
    ? (facetDensity(vec3.dot(half, normal), alpha) * facetVisibility(i.cosine, o.cosine, alpha) * i.scale * o.scale) /
      (4 * i.cosine * o.cosine)
    : 0;
  const pitch = setting.gratingPitchUm ?? 0;
  orders.fill(0);
  rest.fill(1);
  if (lit && pitch > 0) {
    vec3.cross(side, normal, tangent);
    vec3.sub(apart, toLight, toEye);
    gratingMirrors(rest, pitch, 0.5 * vec3.dot(tangent, apart), 0.5 * vec3.dot(side, apart), alpha);
    gratingBrdf(orders, pitch, toLight, toEye, tangent, side, alpha);
  }
  for (let c = 0; c < 3; c++) {
    const reflectance =
      setting.kind === 'metal'
        ? metalReflectance(setting, tint[c], cosD)
        : tintedSheetReflectance(setting.coatEta, tint[c], cosD);
    out[c] = (rest[c] * value + orders[c]) * reflectance;
  }
  return out;
}

/** Share of light from a direction that the film returns, per channel. Exact for a clear sheet without tint. */
export function facetAlbedo(out: vec3, setting: FacetSetting, tint: ReadonlyVec3, o: FacetDirection): vec3 {
  const inner = Math.max(1e-3, refractedCosine(Math.max(0, o.cosine), setting.coatEta));
  for (let c = 0; c < 3; c++) {
    if (setting.kind === 'clear') {
      out[c] = o.frontAlbedo + tint[c] * tint[c] * (o.sheetAlbedo - o.frontAlbedo);
    } else {
      const r = o.frontAlbedo;
      const base = baseReflectance(setting, tint[c], inner);
      out[c] = r + ((1 - r) * (1 - r) * base) / (1 - r * base);
    }
  }
  return out;
}

/**
 * Share of light from a direction that a clear sheet lets straight through, per channel; with the albedo it makes 1
 * where tint is 1.
 */
export function sheetTransmittance(out: vec3, setting: FacetSetting, tint: ReadonlyVec3, o: FacetDirection): vec3 {
  const inner = Math.max(1e-3, refractedCosine(Math.max(0, o.cosine), setting.coatEta));
  for (let c = 0; c < 3; c++) out[c] = (1 - o.sheetAlbedo) * tint[c] ** (1 / inner);
  return out;
}
