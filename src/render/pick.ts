import type { vec3 } from 'gl-matrix';
import { threadOwner } from '#engine/packing/threadOwner.ts';
import { type ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import type { ClothPick } from './clothViewTypes.ts';

const hit = createWalkHit();

/** What a ray meets, walked on this side of the GPU. */
export function pickCloth(walker: ClothWalker, o: vec3, d: vec3, tMin: number): ClothPick | null {
  if (!walker.walk(hit, o[0], o[1], o[2], d[0], d[1], d[2], tMin, 1e9)) return null;
  const { cloth, reader } = walker;
  const x = o[0] + hit.t * d[0];
  const y = o[1] + hit.t * d[1];
  const z = o[2] + hit.t * d[2];
  const owner = threadOwner(cloth.extraTable, hit.kind, hit.index);
  const warp = (owner & 1) === 1;
  const index = owner >> 1;
  const end = warp ? index : nearest(reader.endCellAt(x), cloth.ends, (k) => Math.abs(reader.endX(k) - x));
  const line = nearest(reader.lineCellAt(y), cloth.lines, (k) => Math.abs(reader.lineY(k) - y));
  const row = warp ? reader.rowAt(line, end) : index;
  return { kind: warp ? 'warp' : 'weft', index, row, end, pointMm: [x, y, z] };
}

function nearest(cell: number, count: number, away: (k: number) => number): number {
  const lower = Math.max(0, Math.min(count - 1, cell));
  const upper = Math.min(count - 1, lower + 1);
  return away(upper) < away(lower) ? upper : lower;
}
