import { GOLDEN } from '#engine/units/evenPlaces.ts';
import type { ClothGeometry } from './clothTypes.ts';

type Held = Pick<ClothGeometry, 'ends' | 'periodRows' | 'periodEnds' | 'warp' | 'byKinds'>;

/** Where a row's crossings begin in the fields. @throws where they do not hold the row */
export function rowStart({ periodRows, periodEnds, byKinds }: Held, row: number): number {
  if (!byKinds) return (row % periodRows) * periodEnds;
  const place = byKinds.held.place[row];
  if (!(place >= 0)) throw new Error(`geometry by kinds: does not hold row ${row + 1}`);
  return place * periodEnds;
}

/** Of rows that a geometry holds for it so many are measured, at least. */
const LEAST_LOOKS = 8;

/** Rows that are measured, each against the next: so large a share of all, or of those that a geometry has for it. */
export function* measuredRows({ rows, byKinds }: Pick<ClothGeometry, 'rows' | 'byKinds'>, share: number) {
  if (byKinds) {
    const { looks } = byKinds.held;
    const every = Math.max(1, Math.floor(looks.length / Math.max(LEAST_LOOKS, share * rows)));
    for (let k = 0; k < looks.length; k += every) yield looks[k];
  } else for (let row = 0; row < rows; row++) if ((row * GOLDEN) % 1 < share) yield row;
}

/** Where a crossing is in the fields. @throws where they do not hold it */
export function crossingAt(geometry: Held, row: number, end: number): number {
  const { ends, periodEnds, warp, byKinds } = geometry;
  if (!byKinds || byKinds.held.place[row] >= 0) return rowStart(geometry, row) + (end % periodEnds);
  const { place } = byKinds.held;
  const edges = warp.heightMm.length - 2 * place.length;
  if (end === 0) return edges + 2 * row;
  if (end === ends - 1) return edges + 2 * row + 1;
  return rowStart(geometry, row);
}
