import { EXTRA_TEXELS, ThreadKind } from './clothBufferLayout.ts';
import type { PackedCloth } from './packedCloth.ts';

/** Owner of what a ray met (row * 2, or end * 2 + 1): of an end or a turn, the thread that it belongs to. */
export function threadOwner(extraTable: PackedCloth['extraTable'], kind: number, index: number): number {
  if (kind === ThreadKind.extra) return extraTable[index * EXTRA_TEXELS * 4 + 11];
  return index * 2 + (kind === ThreadKind.warp ? 1 : 0);
}
