import {
  BINARY_SEARCH_STEPS,
  GONE_BYTE,
  HAIR_TEXEL,
  MATERIAL_TEXELS,
  MESH_TEXEL,
  NODE_WORDS,
  PAGE_SIDE,
  SECTION_STEPS,
  THREAD_TEXELS,
  TILE_CELLS,
  TILE_TEXELS,
  TileBits,
  WRAP_STEPS,
} from '#engine/packing/clothBufferLayout.ts';
import { fromHalf } from '#engine/packing/halfFloat.ts';
import type { BucketIndex, PackedCloth } from '#engine/packing/packedCloth.ts';
import { sectionOfCore } from '#engine/packing/threadSizes.ts';
import { settleBend, type TubeSegment } from './tubeSegment.ts';

/** Beyond the outermost threads a cell has no far side; far enough for any cloth, near enough for single precision. */
export const BEYOND_MM = 1e6;

const node0 = {
  gone: false,
  height: 0,
  slope: 0,
  offset: 0,
  offsetSlope: 0,
  wrapStart: 0,
  wrapEnd: 0,
  width: 0,
  height2: 0,
};
const node1 = { ...node0 };

/** Reads packed arrays as the shaders fetch them. */
export class ClothReader {
  /** Where the extras last counted begin in the list. */
  firstExtra = 0;

  constructor(readonly cloth: PackedCloth) {}

  /** How many thread ends and turns reach the cell up and right of a crossing; -1 is the cell outside the cloth. */
  extrasIn(line: number, end: number): number {
    const { tileTable, tilesAcross, extraList } = this.cloth;
    const x = end + 1;
    const y = line + 1;
    const tile = (Math.floor(y / TILE_CELLS) * tilesAcross + Math.floor(x / TILE_CELLS)) * TILE_TEXELS * 4;
    if (tileTable[tile] >> TileBits.extrasShift === 0) return 0;
    const cell = (tileTable[tile + 1] + (y % TILE_CELLS) * TILE_CELLS + (x % TILE_CELLS)) * 4;
    this.firstExtra = extraList[cell];
    return extraList[cell + 1];
  }

  endX(end: number): number {
    return this.cloth.endTable[end * THREAD_TEXELS * 4];
  }

  lineY(line: number): number {
    return this.cloth.lineTable[line * 4];
  }

  /** Last end at or left of x; -1 before the first. */
  endCellAt(x: number): number {
    return this.search(this.cloth.endBuckets, x, true);
  }

  /** Last line at or below y; -1 before the first. */
  lineCellAt(y: number): number {
    return this.search(this.cloth.lineBuckets, y, false);
  }

  private search(index: BucketIndex, at: number, isEnds: boolean): number {
    const { bucketTable } = this.cloth;
    const bucket = Math.min(index.count - 1, Math.max(0, Math.floor((at - index.startMm) * index.perMm)));
    const texel = (index.offset + bucket) * 4;
    const least = bucketTable[texel];
    let hi = bucketTable[texel + 1];
    if (hi - least <= 2) {
      return Math.max(-1, least + (at >= bucketTable[texel + 2] ? 1 : 0) + (at >= bucketTable[texel + 3] ? 1 : 0));
    }
    let lo = Math.max(-1, least);
    for (let step = 0; step < BINARY_SEARCH_STEPS && lo < hi; step++) {
      const middle = (lo + hi + 1) >> 1;
      if ((isEnds ? this.endX(middle) : this.lineY(middle)) <= at) lo = middle;
      else hi = middle - 1;
    }
    return lo;
  }

  /** The row that stands for a line at an end: the one present there, else the line's first. */
  rowAt(line: number, end: number): number {
    return this.rowOnLine(line, end, end);
  }

  /** The line's row that covers ends firstEnd..lastEnd; where none does, the line's first row. */
  rowOnLine(line: number, firstEnd: number, lastEnd: number): number {
    const { lineTable, rowTable, sideBySide } = this.cloth;
    if (!sideBySide) return line;
    const first = lineTable[line * 4 + 1];
    const count = lineTable[line * 4 + 2];
    for (let k = 0; k < count; k++) {
      const at = (first + k) * THREAD_TEXELS * 4;
      if (firstEnd >= rowTable[at + 4] && lastEnd <= rowTable[at + 5]) return first + k;
    }
    return first;
  }

  /** Warp end between a line and the next. */
  loadWarp(out: TubeSegment, end: number, line: number, yLo: number, yHi: number): boolean {
    const { warpNodes, endTable } = this.cloth;
    const at = end * THREAD_TEXELS * 4;
    this.readNode(node0, warpNodes, this.rowAt(line, end), end);
    this.readNode(node1, warpNodes, this.rowAt(line + 1, end), end);
    out.thread = end * 2 + 1;
    return this.assemble(out, yLo, yHi - yLo, endTable, at);
  }

  /** Row between an end and the next; false where the row is not present there. */
  loadWeft(out: TubeSegment, row: number, end: number, xLo: number, xHi: number): boolean {
    const { weftNodes, rowTable } = this.cloth;
    const at = row * THREAD_TEXELS * 4;
    if (end < rowTable[at + 4] || end + 1 > rowTable[at + 5]) return false;
    this.readNode(node0, weftNodes, row, end);
    this.readNode(node1, weftNodes, row, end + 1);
    out.thread = row * 2;
    return this.assemble(out, xLo, xHi - xLo, rowTable, at);
  }

  private assemble(out: TubeSegment, along: number, pitch: number, table: Float32Array, at: number): boolean {
    if (!(pitch > 1e-5) || node0.gone) return false;
    const { materialTable, hairy } = this.cloth;
    const side = table[at];
    out.contactA = table[at + 1];
    out.contactB = table[at + 2];
    out.hair = (table[at + 3] * MATERIAL_TEXELS + HAIR_TEXEL) * 4;
    out.mesh = (table[at + 3] * MATERIAL_TEXELS + MESH_TEXEL) * 4;
    const core = hairy && materialTable[out.hair] > 0 ? materialTable[out.hair + 2] : 1;
    out.along = along;
    out.pitch = pitch;
    out.side = side;
    const dO = node1.offset - node0.offset;
    const o0 = node0.offsetSlope * pitch;
    const o1 = node1.offsetSlope * pitch;
    out.o0 = node0.offset;
    out.o1 = o0;
    out.o2 = 3 * dO - 2 * o0 - o1;
    out.o3 = o0 + o1 - 2 * dO;
    const dZ = node1.height - node0.height;
    const z0 = node0.slope * pitch;
    const z1 = node1.slope * pitch;
    out.z0 = node0.height;
    out.z1 = z0;
    out.z2 = 3 * dZ - 2 * z0 - z1;
    out.z3 = z0 + z1 - 2 * dZ;
    out.wrapStart = node0.wrapStart;
    out.wrapChange = node0.wrapEnd - node0.wrapStart;
    out.a0 = out.contactA * sectionOfCore(core, node0.width);
    out.aChange = out.contactA * sectionOfCore(core, node1.width) - out.a0;
    out.b0 = out.contactB * sectionOfCore(core, node0.height2);
    out.bChange = out.contactB * sectionOfCore(core, node1.height2) - out.b0;
    settleBend(out);
    return true;
  }

  /** First word of a crossing's node, in either family's array. */
  nodeIndex(row: number, end: number): number {
    const { periodRows, periodEnds, pagesAcross, pageWidth, pageHeight } = this.cloth;
    const r = row % periodRows;
    const e = end % periodEnds;
    const page = Math.floor(r / PAGE_SIDE) * pagesAcross + Math.floor(e / PAGE_SIDE);
    return ((page * pageHeight + (r % PAGE_SIDE)) * pageWidth + (e % PAGE_SIDE)) * NODE_WORDS;
  }

  private readNode(out: typeof node0, nodes: Uint32Array, row: number, end: number): void {
    const { wrapScaleMm } = this.cloth;
    const at = this.nodeIndex(row, end);
    const x = nodes[at];
    const y = nodes[at + 1];
    const z = nodes[at + 2];
    out.gone = (z & 0xff) === GONE_BYTE;
    out.height = fromHalf(x & 0xffff);
    out.slope = fromHalf(x >>> 16);
    out.offset = fromHalf(y & 0xffff);
    out.offsetSlope = fromHalf(y >>> 16);
    out.wrapStart = (((z << 24) >> 24) * wrapScaleMm) / WRAP_STEPS;
    out.wrapEnd = (((z << 16) >> 24) * wrapScaleMm) / WRAP_STEPS;
    out.width = ((z >>> 16) & 0xff) / SECTION_STEPS;
    out.height2 = (z >>> 24) / SECTION_STEPS;
  }
}
