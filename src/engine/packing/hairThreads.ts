import {
  EXTRA_TEXELS,
  HAIR_TEXEL,
  MATERIAL_TEXELS,
  THREAD_TEXELS,
  ThreadKind,
  TILE_TEXELS,
} from './clothBufferLayout.ts';
import { extraLength, extraPoint } from './extraCurve.ts';
import { HAIR_POINTS } from './hairTable.ts';
import type { PackedCloth } from './packedCloth.ts';
import { FORM_CODE } from './packHair.ts';
import { createTable } from './packTables.ts';

/** Threads of one family and one yarn that have hair, in the order in which they lie; or cells along their turns and tails, from below up. */
export interface HairGroup {
  readonly kind: ThreadKind;
  readonly material: number;
  /** Its first thread in the table. */
  readonly first: number;
  /** Where its threads lie across their own direction, mm, rising. */
  readonly placesMm: Float64Array;
  /** Of turns and tails, from where to where across the cloth they lie, mm. */
  readonly acrossMm?: readonly [number, number];
  readonly heightMm: number;
  /** How far a body of the family reaches from its own line, mm at most. */
  readonly besideMm: number;
  readonly diameterMm: number;
  /** Share of it lost at the tip. */
  readonly taper: number;
  /** How far a hair bends away from straight, on average, its thread's own bends with it, mm. */
  readonly bowMm: number;
  readonly cellMm: number;
  /** No hair is longer, mm; of half turns round a core their bow says enough. */
  readonly longestMm: number;
  readonly lattices: number;
  /** Hairs of a lattice round one length of a cell that are drawn: all that there may be, or of dense pile those that show. */
  readonly around: number;
  /** Whether these are strands of many fibres, as thick as threads: loops. */
  readonly strand: boolean;
  /** Whether these are dense and end alike: pile. */
  readonly pile: boolean;
  /** Whether light passes these hairs by: a few stray ones. */
  readonly stray: boolean;
}

export interface HairThreads {
  readonly groups: readonly HairGroup[];
  /** A texel a thread: its index; of turns and tails one a cell along them: number and cell. */
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
      groups.push({
        kind,
        material,
        first: indices.length,
        placesMm: Float64Array.from(list, placeOf),
        besideMm,
        ...hairOf(materialTable, material, table, list[0]),
      });
      for (const index of list) indices.push(index);
    }
  }
  const cells = addExtras(cloth, groups, indices.length);
  const table = createTable(indices.length + cells.length, 'threads with hair');
  for (const [k, index] of indices.entries()) table[k * 4] = index;
  for (const [k, { extra, cell }] of cells.entries()) table.set([extra, cell], (indices.length + k) * 4);
  return { groups, table };
}

/** What a group knows of its hair, of a material on a thread of a table. */
function hairOf(materialTable: Float32Array, material: number, threads: Float32Array, index: number) {
  const at = hairAt(material);
  const lattices = materialTable[at + 1];
  const thread = index * THREAD_TEXELS * 4;
  const bodyMm = (threads[thread + 1] + threads[thread + 2]) / 2;
  const wound = materialTable[at + 7] === FORM_CODE.wound;
  return {
    heightMm: materialTable[at],
    diameterMm: 2 * materialTable[at + 3],
    taper: materialTable[at + 10],
    bowMm: meanBow(materialTable, at, bodyMm),
    cellMm: materialTable[at + 8],
    lattices: Math.floor(lattices),
    around: hairsRound(materialTable, at, bodyMm),
    longestMm: wound ? Number.POSITIVE_INFINITY : Math.hypot(materialTable[at + 8], materialTable[at]),
    strand: materialTable[at + 7] === FORM_CODE.loop || wound,
    pile: materialTable[at + 7] === FORM_CODE.hair && materialTable[at + 14] === 0 && lattices % 1 === 0,
    stray: lattices % 1 !== 0,
  };
}

/** Pile whose half before the core is as deep as this hides what of it stands behind, */
const HIDES_BEHIND = 1.2;
/** so that of a ring only so many of its hairs on average are drawn, those that face the eye best. */
const SHOWS = 0.6;

function hairsRound(table: Float32Array, at: number, bodyMm: number): number {
  const [sectors, presence, full, cover] = [table[at + 6], table[at + 9], table[at + 11], table[at + 12]];
  // Laid side by side over the yarn's width, before and behind the core.
  const deep = ((Math.PI / 4) * cover) / (4 * (bodyMm * Math.abs(table[at + 2]) + table[at]));
  return full > 0 && deep > HIDES_BEHIND ? Math.min(sectors, Math.ceil(SHOWS * presence * sectors)) : sectors;
}

interface ExtraCell {
  readonly extra: number;
  readonly cell: number;
  /** Where across and up the cloth it lies, mm. */
  readonly x: number;
  readonly y: number;
}

/** Adds groups of turns' and tails' hair, left of the cloth, on it and right of it, and returns their cells in order. */
function addExtras(cloth: PackedCloth, groups: HairGroup[], before: number): ExtraCell[] {
  const { materialTable, endTable, rowTable, extraTable } = cloth;
  const [left, right] = [endTable[0], endTable[(cloth.ends - 1) * THREAD_TEXELS * 4]];
  const place = new Float64Array(3);
  const byYarn = new Map<string, { material: number; owner: number; halfMm: number; cells: ExtraCell[] }>();
  for (let extra = 0; extra < cloth.extras; extra++) {
    const at = extra * EXTRA_TEXELS * 4;
    if (!(extraTable[at + 14] > 0)) continue;
    const owner = extraTable[at + 11];
    const warp = (owner & 1) === 1;
    const material = (warp ? endTable : rowTable)[(owner >> 1) * THREAD_TEXELS * 4 + 3];
    const cellMm = materialTable[hairAt(material) + 8];
    const curve = [0, 4, 8].flatMap((k) => [...extraTable.subarray(at + k, at + k + 3)]);
    const lengthMm = extraLength(curve);
    const [start, sense] = [extraTable[at + 12], extraTable[at + 13]];
    const ends = [start, start + sense * lengthMm].sort((a, b) => a - b);
    const middle = (curve[0] + curve[6]) / 2;
    const key = `${material} ${warp} ${middle < left ? -1 : middle > right ? 1 : 0}`;
    const group = byYarn.get(key) ?? { material, owner, halfMm: 0, cells: [] };
    byYarn.set(key, group);
    group.halfMm = Math.max(group.halfMm, extraTable[at + 3]);
    // Lattices are shifted by less than a cell.
    for (let cell = Math.floor(ends[0] / cellMm) - 1; cell <= Math.floor(ends[1] / cellMm); cell++) {
      const share = Math.min(1, Math.max(0, (sense * ((cell + 1) * cellMm - start)) / Math.max(lengthMm, 1e-9)));
      extraPoint(place, curve, share);
      group.cells.push({ extra, cell, x: place[0], y: place[1] });
    }
  }
  const all: ExtraCell[] = [];
  for (const { material, owner, halfMm, cells } of byYarn.values()) {
    cells.sort((a, b) => a.y - b.y);
    const of = hairOf(materialTable, material, (owner & 1) === 1 ? endTable : rowTable, owner >> 1);
    // Nearly the same share of the curve as of its length: no cell lies further off than it is long, twice over.
    const besideMm = halfMm + 2 * of.cellMm;
    const reach = of.heightMm + besideMm;
    const [least, most] = minMax(cells.map(({ x }) => x));
    const acrossMm = [least - reach, most + reach] as const;
    const placesMm = Float64Array.from(cells, ({ y }) => y);
    groups.push({ kind: ThreadKind.extra, material, first: before + all.length, placesMm, acrossMm, besideMm, ...of });
    for (const cell of cells) all.push(cell);
  }
  return all;
}

function minMax(values: readonly number[]): [number, number] {
  let [least, most] = [Infinity, -Infinity];
  for (const value of values) [least, most] = [Math.min(least, value), Math.max(most, value)];
  return [least, most];
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
