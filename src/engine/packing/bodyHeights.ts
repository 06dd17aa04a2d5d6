import { TILE_TEXELS } from './clothBufferLayout.ts';
import type { PackedCloth } from './packedCloth.ts';

/** Lowest and highest body of a cloth, by its tiles, mm. */
export function bodyHeights({ tileTable, tilesAcross, tilesUp, bounds: { min, max } }: PackedCloth): [number, number] {
  let [lowest, highest] = [Infinity, -Infinity];
  for (let tile = 0; tile < tilesAcross * tilesUp; tile++) {
    const [low, high] = [tileTable[tile * TILE_TEXELS * 4 + 2], tileTable[tile * TILE_TEXELS * 4 + 3]];
    if (low > high) continue;
    lowest = Math.min(lowest, low);
    highest = Math.max(highest, high);
  }
  return lowest < highest ? [lowest, highest] : [min[2], max[2]];
}
