import type { LinearRgb } from '#engine/colour/colour.ts';
import { MATERIAL_TEXELS, THREAD_TEXELS } from './clothBufferLayout.ts';
import type { PackedCloth } from './packedCloth.ts';

/** Mean reflectance of all ends, and of all picks, each thread by its width; linear RGB, 0..1. */
export interface FamilyColours {
  readonly warp: LinearRgb;
  readonly weft: LinearRgb;
}

export function familyColours({ endTable, ends, rowTable, rows, materialTable }: PackedCloth): FamilyColours {
  return {
    warp: meanColour(endTable, ends, materialTable),
    weft: meanColour(rowTable, rows, materialTable),
  };
}

function meanColour(threads: Float32Array, count: number, materials: Float32Array): LinearRgb {
  const sum: [number, number, number] = [0, 0, 0];
  let widths = 0;
  for (let k = 0; k < count; k++) {
    const [, halfWidth, , material] = threads.subarray(4 * THREAD_TEXELS * k);
    const at = 4 * MATERIAL_TEXELS * material + 5;
    for (let c = 0; c < 3; c++) sum[c] += halfWidth * materials[at + c];
    widths += halfWidth;
  }
  return widths > 0 ? [sum[0] / widths, sum[1] / widths, sum[2] / widths] : sum;
}
