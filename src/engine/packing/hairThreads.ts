import { HAIR_TEXEL, MATERIAL_TEXELS, THREAD_TEXELS, ThreadKind, TILE_TEXELS } from './clothBufferLayout.ts';
import { HAIR_POINTS } from './hairTable.ts';
import type { PackedCloth } from './packedCloth.ts';
import { FORM_CODE } from './packHair.ts';
import { createTable } from './packTables.ts';

/** Threads of one family and one yarn that have hair, in the order in which they lie. */
export interface HairGroup {
  readonly kind: ThreadKind;
  readonly material: number;
  /** Its first thread in the table. */
  readonly first: number;
  /** Where its threads lie across their own direction, mm, rising. */
  readonly placesMm: Float64Array;
  readonly heightMm: number;
  /** How far a body of the family reaches from its own line, mm at most. */
  readonly besideMm: number;
  readonly diameterMm: number;
  /** How far a hair bends away from straight, on average, its thread's own bends with it, mm. */
  readonly bowMm: number;
  readonly cellMm: number;
  /** Cells around a thread's section, over all lattices: so many for each length of a cell. */
  readonly around: number;
  /** Whether these are strands of many fibres, as thick as threads: loops. */
  readonly strand: boolean;
  /** Whether light passes these hairs by: a few stray ones. */
  readonly stray: boolean;
}

export interface HairThreads {
  readonly groups: readonly HairGroup[];
  /** A texel a thread: its index. */
  readonly table: Float32Array;
}

/** Which threads have hair, for drawing hair by hair. */
export function hairThreads(cloth: PackedCloth): HairThreads {
  const { materialTable, endTable, rowTable } = cloth;
  const groups: HairGroup[] = [];
  const indices: number[] = [];
  for (const kind of [ThreadKind.warp, ThreadKind.weft] as const) {
    const table = kind === ThreadKind.warp ? endTable : rowTable;
    const count = kind === ThreadKind.warp ? cloth.ends : cloth.rows;
    const besideMm = bodyReach(cloth, kind);
    const byMaterial = new Map<number, number[]>();
    for (let index = 0; index < count; index++) {
      const material = table[index * THREAD_TEXELS * 4 + 3];
      if (!(materialTable[hairAt(material)] > 0)) continue;
      const list = byMaterial.get(material);
      if (list) list.push(index);
      else byMaterial.set(material, [index]);
    }
    const placeOf = (index: number) => table[index * THREAD_TEXELS * 4];
    for (const [material, list] of byMaterial) {
      list.sort((a, b) => placeOf(a) - placeOf(b));
      const at = hairAt(material);
      const lattices = materialTable[at + 1];
      groups.push({
        kind,
        material,
        first: indices.length,
        placesMm: Float64Array.from(list, placeOf),
        heightMm: materialTable[at],
        besideMm,
        diameterMm: 2 * materialTable[at + 3],
        bowMm: meanBow(
          materialTable,
          at,
          (table[list[0] * THREAD_TEXELS * 4 + 1] + table[list[0] * THREAD_TEXELS * 4 + 2]) / 2,
        ),
        cellMm: materialTable[at + 8],
        around: Math.floor(lattices) * materialTable[at + 6],
        strand: materialTable[at + 7] === FORM_CODE.loop,
        stray: lattices % 1 !== 0,
      });
      for (const index of list) indices.push(index);
    }
  }
  const table = createTable(indices.length, 'threads with hair');
  for (const [k, index] of indices.entries()) table[k * 4] = index;
  return { groups, table };
}

/**
 * Mean of how far a yarn's hairs bend away from straight, mm: each by its own curve, and where it runs along its thread by
 * the thread's, which bends about as tightly as it is thick. at: of its hair in the material table.
 */
function meanBow(table: Float32Array, at: number, bodyMm: number): number {
  const count = table[at + 5] * Math.floor(table[at + 1]);
  const coreMm = bodyMm * table[at + 2];
  const place = (point: Float32Array, high: number) => [point[0], high * point[2], high * point[3]];
  let sum = 0;
  for (let k = 0; k < count; k++) {
    const first = (table[at + 4] + HAIR_POINTS * k) * 4;
    const [root, bend, tip] = [0, 4, 8].map((offset) => table.subarray(first + offset, first + offset + 4));
    const from = place(root, coreMm);
    const over = place(bend, coreMm + bend[1]);
    const to = place(tip, coreMm + tip[1]);
    const along = to[0] - from[0];
    sum += Math.hypot(...over.map((at, axis) => (at - (from[axis] + to[axis]) / 2) / 2)) + along ** 2 / (8 * bodyMm);
  }
  return sum / Math.max(1, count);
}

/** How far the body of any thread of a family reaches from its own line, mm. */
function bodyReach({ tileTable, tilesAcross, tilesUp }: PackedCloth, kind: ThreadKind): number {
  const column = 2 * 4 + (kind === ThreadKind.warp ? 0 : 1);
  let most = 0;
  for (let tile = 0; tile < tilesAcross * tilesUp; tile++) {
    most = Math.max(most, tileTable[tile * TILE_TEXELS * 4 + column]);
  }
  return most;
}

function hairAt(material: number): number {
  return (material * MATERIAL_TEXELS + HAIR_TEXEL) * 4;
}
