import {
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MESH_TEXEL,
  STRAND_TEXELS,
  THREAD_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { paintedAt } from '#engine/packing/walk/intersectMesh.ts';

/** As the material table has it (packMaterials.ts). */
const COLOURS_ALONG = 3;

/** Which of its yarn's colours a thread has at a place: a number, the same wherever the colour is. */
export interface ColourSteps {
  /** Most colours of any thread. */
  readonly count: number;
  /** Of a row at x mm, or of an end at y mm; 0 where its yarn is one colour along its length. */
  readonly ofRow: (row: number, xMm: number) => number;
  readonly ofEnd: (end: number, yMm: number) => number;
}

interface Repeat {
  readonly lengthMm: number;
  readonly from: readonly number[];
}

/** Whether a painted strip is painted at a place: as `meshAt` of the walk has it. */
function isPainted(table: Float32Array, material: number, thread: number, alongMm: number): boolean {
  return paintedAt(table, (material * MATERIAL_TEXELS + MESH_TEXEL) * 4, thread, alongMm);
}

/** Undefined where no yarn of the cloth changes colour along its length, or is painted in patches. */
export function colourSteps(cloth: PackedCloth): ColourSteps | undefined {
  const repeats = Array.from({ length: cloth.materials }, (_, material) => repeatOf(cloth.materialTable, material));
  const { materialTable } = cloth;
  const paints = repeats.map((_, material) => materialTable[(material * MATERIAL_TEXELS + MESH_TEXEL + 2) * 4] > 0);
  if (!repeats.some(Boolean) && !paints.some(Boolean)) return undefined;
  const stepAt = (table: Float32Array, thread: number, alongMm: number, owner: number): number => {
    const at = thread * THREAD_TEXELS * 4;
    const repeat = repeats[table[at + 3]];
    if (paints[table[at + 3]]) return isPainted(materialTable, table[at + 3], owner, alongMm) ? 1 : 0;
    if (!repeat) return 0;
    const turns = (table[at + 8] + table[at + 9] * alongMm) / repeat.lengthMm;
    const share = turns - Math.floor(turns);
    let step = 0;
    while (step + 1 < repeat.from.length && repeat.from[step + 1] <= share) step++;
    return step;
  };
  return {
    count: Math.max(2, ...repeats.map((repeat) => repeat?.from.length ?? 1)),
    ofRow: (row, xMm) => stepAt(cloth.rowTable, row, xMm, row * 2),
    ofEnd: (end, yMm) => stepAt(cloth.endTable, end, yMm, end * 2 + 1),
  };
}

function repeatOf(table: Float32Array, material: number): Repeat | undefined {
  const row = material * MATERIAL_TEXELS * 4;
  for (let strand = 0; strand < table[row]; strand++) {
    const at = row + (MATERIAL_HEADER_TEXELS + strand * STRAND_TEXELS + 5) * 4;
    if (table[at] !== COLOURS_ALONG) continue;
    const from = Array.from({ length: table[at + 2] }, (_, k) => table[row + (table[at + 1] + k) * 4 + 3]);
    return { lengthMm: table[at + 3], from };
  }
  return undefined;
}
