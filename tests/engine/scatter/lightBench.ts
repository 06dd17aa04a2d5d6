import { createFacetDirection, type FacetSetting, facetBrdf, facetDirection } from '#engine/scatter/facetBrdf.ts';
import { facetDensity, widenRoughness } from '#engine/scatter/facets.ts';
import { createFibreDirection, fibreBrdf, fibreDirection, surfaceLobeMean } from '#engine/scatter/fibreBrdf.ts';
import type { FibreLobes, RawLobes } from '#engine/scatter/fibreLobes.ts';
import type { ScatterTable } from '#engine/scatter/scatterLayout.ts';
import { type BlockSetting, type BuiltScatterTable, buildScatterTable } from '#engine/scatter/scatterTable.ts';

/** A surface lying flat: normal z, fibres along x. */
export const NORMAL = [0, 0, 1] as [number, number, number];
export const TANGENT = [1, 0, 0] as [number, number, number];
export const DEGREE = Math.PI / 180;

export type Direction = [number, number, number];

/** Polar angle from the normal, azimuth from the fibre. */
export function direction(polarDeg: number, azimuthDeg: number): Direction {
  const s = Math.sin(polarDeg * DEGREE);
  return [s * Math.cos(azimuthDeg * DEGREE), s * Math.sin(azimuthDeg * DEGREE), Math.cos(polarDeg * DEGREE)];
}

export function tableOf(settings: readonly BlockSetting[]): BuiltScatterTable {
  const steps = buildScatterTable(settings);
  for (let step = steps.next(); ; step = steps.next()) if (step.done) return step.value;
}

/** A table of one fibre surface, and its lobes towards an eye. */
export class FibreBench {
  readonly table: ScatterTable;
  private readonly i = createFibreDirection();
  private readonly o = createFibreDirection();
  private readonly value: RawLobes = { surface: 0, volume: 0 };

  constructor(readonly lobes: FibreLobes) {
    this.table = tableOf([{ kind: 'fibre', lobes }]);
  }

  brdf(toLight: Direction, toEye: Direction, tiltRad = 0): RawLobes {
    fibreDirection(this.i, this.table, 0, NORMAL, TANGENT, toLight, tiltRad);
    fibreDirection(this.o, this.table, 0, NORMAL, TANGENT, toEye, tiltRad);
    return fibreBrdf(this.value, this.lobes, this.i, this.o, tiltRad);
  }

  surfaceAlbedo(toEye: Direction, tiltRad = 0): number {
    return fibreDirection(this.o, this.table, 0, NORMAL, TANGENT, toEye, tiltRad).surfaceAlbedo;
  }

  /** Mean direction of the light that the surface lobe returns: as the table has it, and by midpoints. */
  surfaceMean(toEye: Direction, tiltRad = 0): { table: Direction; exact: Direction } {
    fibreDirection(this.o, this.table, 0, NORMAL, TANGENT, toEye, tiltRad);
    const table: Direction = [0, 0, 0];
    surfaceLobeMean(table, NORMAL, TANGENT, this.o);
    const exact: Direction = [0, 0, 0];
    const { surface } = this.furnace(toEye, tiltRad, (direction, light) => {
      for (let c = 0; c < 3; c++) exact[c] += direction[c] * light;
    });
    for (let c = 0; c < 3; c++) exact[c] /= surface;
    return { table, exact };
  }

  /** Light returned of an even room of radiance 1, by midpoints in inclination and azimuth (the surface lobe is narrow in the first). */
  furnace(toEye: Direction, tiltRad = 0, each?: (toLight: Direction, surface: number) => void): RawLobes {
    const thetas = this.lobes.surfaceWidthRad < 0.1 && tiltRad < 0.1 ? 600 : 240;
    const phis = 120;
    const sum = { surface: 0, volume: 0 };
    for (let a = 0; a < thetas; a++) {
      const theta = Math.PI * ((a + 0.5) / thetas - 0.5);
      const cosTheta = Math.cos(theta);
      for (let b = 0; b < phis; b++) {
        const phi = Math.PI * ((b + 0.5) / phis - 0.5);
        const cosine = cosTheta * Math.cos(phi);
        const toLight: Direction = [Math.sin(theta), cosTheta * Math.sin(phi), cosine];
        const f = this.brdf(toLight, toEye, tiltRad);
        const weight = (cosine * cosTheta * Math.PI * Math.PI) / (thetas * phis);
        sum.surface += f.surface * weight;
        sum.volume += f.volume * weight;
        each?.(toLight, f.surface * weight);
      }
    }
    return sum;
  }
}

/** The same for film. */
export class FacetBench {
  readonly table: ScatterTable;
  readonly setting: FacetSetting;
  readonly i = createFacetDirection();
  readonly o = createFacetDirection();
  private readonly value: Direction = [0, 0, 0];

  constructor(setting: Omit<FacetSetting, 'block'>) {
    this.setting = { ...setting, block: 0 };
    this.table = tableOf([{ kind: 'facets', coatEta: setting.coatEta }]);
  }

  brdf(toLight: Direction, toEye: Direction, tint: Direction, tiltRad = 0): Direction {
    const alpha = widenRoughness(this.setting.roughness, tiltRad * tiltRad);
    facetDirection(this.i, this.table, 0, NORMAL, toLight, alpha);
    facetDirection(this.o, this.table, 0, NORMAL, toEye, alpha);
    facetBrdf(this.value, this.setting, tint, this.i, this.o, NORMAL, TANGENT, toLight, toEye, alpha);
    return this.value;
  }

  /** Light returned of an even room of radiance 1. */
  furnace(toEye: Direction, tint: Direction, tiltRad = 0): Direction {
    const alpha = widenRoughness(this.setting.roughness, tiltRad * tiltRad);
    const sum: Direction = [0, 0, 0];
    eachHalf(alpha, (h, solid) => {
      const cosD = h[0] * toEye[0] + h[1] * toEye[1] + h[2] * toEye[2];
      if (cosD <= 0) return;
      const i: Direction = [2 * cosD * h[0] - toEye[0], 2 * cosD * h[1] - toEye[1], 2 * cosD * h[2] - toEye[2]];
      if (i[2] <= 0) return;
      const f = this.brdf(i, toEye, tint, tiltRad);
      for (let c = 0; c < 3; c++) sum[c] += f[c] * i[2] * 4 * cosD * solid;
    });
    return sum;
  }
}

const RINGS = 300;
const TURNS = 200;

/**
 * Half directions with the solid angle that each stands for, spread like GGX facets themselves: with
 * tan θ = α sqrt(y/(1 − y)), D cos θ dω = dy dφ/2π; rings crowd towards y = 1, where grazing light is met.
 */
export function eachHalf(alpha: number, use: (h: Direction, solid: number) => void): void {
  const a2 = alpha * alpha;
  for (let a = 0; a < RINGS; a++) {
    const q = (a + 0.5) / RINGS;
    const y = 1 - (1 - q) * (1 - q);
    const cosH = Math.sqrt(1 / (1 + (a2 * y) / (1 - y)));
    const sinH = Math.sqrt(1 - cosH * cosH);
    const solid = (2 * (1 - q)) / (RINGS * TURNS * facetDensity(cosH, alpha) * cosH);
    for (let b = 0; b < TURNS; b++) {
      const phi = (2 * Math.PI * (b + 0.5)) / TURNS;
      use([sinH * Math.cos(phi), sinH * Math.sin(phi), cosH], solid);
    }
  }
}
