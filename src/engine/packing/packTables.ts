import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { MAX_TEXTURE_SIDE, TABLE_WIDTH, THREAD_TEXELS } from './clothBufferLayout.ts';
import { type BucketIndex, PackingError } from './packedCloth.ts';
import type { ClothLines } from './packLines.ts';

/** A table of RGBA texels, folded into whole rows of TABLE_WIDTH. */
export function createTable(texels: number, what: string): Float32Array {
  const height = Math.max(1, Math.ceil(texels / TABLE_WIDTH));
  if (height > MAX_TEXTURE_SIDE) {
    throw new PackingError(
      `${what}: ${texels} entries are more than the picture holds; draw a smaller part of the cloth`,
    );
  }
  return new Float32Array(height * TABLE_WIDTH * 4);
}

export function packEndTable(problem: ClothProblem, geometry: ClothGeometry): Float32Array {
  const table = createTable(problem.ends * THREAD_TEXELS, 'ends');
  for (let end = 0; end < problem.ends; end++) {
    const yarnIndex = problem.endYarn[end];
    const yarn = problem.yarns[yarnIndex];
    const at = end * THREAD_TEXELS * 4;
    table[at] = geometry.endXMm[end];
    table[at + 1] = yarn.contactWidthMm / 2;
    table[at + 2] = yarn.contactHeightMm / 2;
    table[at + 3] = yarnIndex;
    table[at + 5] = problem.rows - 1;
    table[at + 6] = yarn.strands.length;
  }
  return table;
}

export function packRowTable(problem: ClothProblem, lines: ClothLines): Float32Array {
  const table = createTable(problem.rows * THREAD_TEXELS, 'rows');
  for (let row = 0; row < problem.rows; row++) {
    const yarnIndex = problem.rowYarn[row];
    const yarn = problem.yarns[yarnIndex];
    const at = row * THREAD_TEXELS * 4;
    table[at] = lines.yMm[lines.lineOfRow[row]];
    table[at + 1] = yarn.contactWidthMm / 2;
    table[at + 2] = yarn.contactHeightMm / 2;
    table[at + 3] = yarnIndex;
    table[at + 4] = problem.rowFirst[row];
    table[at + 5] = problem.rowLast[row];
    table[at + 6] = yarn.strands.length;
    table[at + 7] = lines.lineOfRow[row];
  }
  return table;
}

export function packLineTable(lines: ClothLines): Float32Array {
  const table = createTable(lines.count, 'rows');
  for (let line = 0; line < lines.count; line++) {
    table[line * 4] = lines.yMm[line];
    table[line * 4 + 1] = lines.firstRow[line];
    table[line * 4 + 2] = lines.rowCount[line];
  }
  return table;
}

/** Beyond any position, within single precision. */
const BEYOND_ANY = 1e30;

/**
 * Buckets over both position lists in one table. A bucket holds the cells (last position at or below) of its two edges;
 * a short binary search between them finds any point's cell, however uneven the pitch.
 */
export function packBuckets(
  endX: ArrayLike<number>,
  lineY: ArrayLike<number>,
): { table: Float32Array; ends: BucketIndex; lines: BucketIndex } {
  const endCount = bucketCount(endX.length);
  const lineCount = bucketCount(lineY.length);
  const table = createTable(endCount + lineCount, 'positions');
  return {
    table,
    ends: fillBuckets(table, 0, endCount, endX),
    lines: fillBuckets(table, endCount, lineCount, lineY),
  };
}

function bucketCount(positions: number): number {
  return Math.min(2 * positions + 1, TABLE_WIDTH * 256);
}

function fillBuckets(table: Float32Array, offset: number, count: number, positions: ArrayLike<number>): BucketIndex {
  const n = positions.length;
  const start = positions[0];
  const span = Math.max(positions[n - 1] - start, 1e-6);
  const perMm = count / span;
  let cell = 0;
  for (let bucket = 0; bucket < count; bucket++) {
    const upper = start + ((bucket + 1) * span) / count;
    // One cell of slack either side: the shader finds its bucket in single precision.
    const at = (offset + bucket) * 4;
    const least = cell - 1;
    table[at] = least;
    while (cell < n - 1 && positions[cell + 1] <= upper) cell++;
    table[at + 1] = Math.min(n - 1, cell + 1);
    // Where the bucket meets three cells at most, their two borders say which, with nothing more to look up.
    for (const k of [1, 2]) {
      table[at + 1 + k] = least + k < 0 ? -BEYOND_ANY : least + k < n ? positions[least + k] : BEYOND_ANY;
    }
  }
  return { startMm: start, perMm, count, offset };
}
