import {
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  STRAND_TEXELS,
  THREAD_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';

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

/** Undefined where no yarn of the cloth changes colour along its length. */
export function colourSteps(cloth: PackedCloth): ColourSteps | undefined {
  const repeats = Array.from({ length: cloth.materials }, (_, material) => repeatOf(cloth.materialTable, material));
  if (repeats.every((repeat) => repeat === undefined)) return undefined;
  const stepAt = (table: Float32Array, thread: number, alongMm: number): number => {
    const at = thread * THREAD_TEXELS * 4;
    const repeat = repeats[table[at + 3]];
    if (!repeat) return 0;
    const turns = (table[at + 8] + table[at + 9] * alongMm) / repeat.lengthMm;
    const share = turns - Math.floor(turns);
    let step = 0;
    while (step + 1 < repeat.from.length && repeat.from[step + 1] <= share) step++;
    return step;
  };
  return {
    count: Math.max(...repeats.map((repeat) => repeat?.from.length ?? 1)),
    ofRow: (row, xMm) => stepAt(cloth.rowTable, row, xMm),
    ofEnd: (end, yMm) => stepAt(cloth.endTable, end, yMm),
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
