import { TILE_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';

/** A cloth whose middle wanders further out of its plane than so many of its ends' mean distances has relief. */
const RELIEF_PITCHES = 2;

const reliefKnown = new WeakMap<PackedCloth, boolean>();

/**
 * Whether a cloth stands out of its plane, by the heights half way between the lowest and highest body of each tile: neither
 * thickness nor hair counts.
 */
export function hasRelief(cloth: PackedCloth): boolean {
  const known = reliefKnown.get(cloth);
  if (known !== undefined) return known;
  const { ends, bounds, tileTable, tilesAcross, tilesUp } = cloth;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  // Tails and turns lie in the outermost tiles.
  for (let up = 1; up + 1 < tilesUp; up++) {
    for (let across = 1; across + 1 < tilesAcross; across++) {
      const at = (up * tilesAcross + across) * TILE_TEXELS * 4;
      const [low, high] = [tileTable[at + 2], tileTable[at + 3]];
      if (low > high) continue;
      lowest = Math.min(lowest, (low + high) / 2);
      highest = Math.max(highest, (low + high) / 2);
    }
  }
  const has = ends > 1 && highest - lowest > (RELIEF_PITCHES * (bounds.max[0] - bounds.min[0])) / ends;
  reliefKnown.set(cloth, has);
  return has;
}
