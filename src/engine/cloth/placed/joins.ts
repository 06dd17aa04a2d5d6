import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import type { Reading } from '#engine/units/reading.ts';
import type { Millimetres } from '#engine/units/units.ts';

/** How two wefts of one pick meet within the cloth: each round its own end, round one that they share, or round one another. */
export type JoinKind = 'slit' | 'dovetail' | 'interlock';

/** Where a row leaves its last end within the cloth, and another of the same pick begins or ends beside it. */
export interface RowJoin {
  readonly kind: JoinKind;
  /** The row that it meets. */
  readonly beside: number;
  /** Last ends of the weft at the left and of that at the right of the join. */
  readonly leftEnd: number;
  readonly rightEnd: number;
}

/** Which way a row leaves: 1 to the right. */
export function leavesBy({ rowEntersRight }: Pick<ClothProblem, 'rowEntersRight'>, row: number): 1 | -1 {
  return rowEntersRight[row] ? -1 : 1;
}

/** The join that a row comes to as it leaves; undefined at the cloth's edges, where it is cut and where none lies beside it. */
export function joinOfRow(problem: ClothProblem, row: number): RowJoin | undefined {
  const { rows, ends, rowPick, rowFirst, rowLast, rowEnd } = problem;
  const side = leavesBy(problem, row);
  const last = side > 0 ? rowLast[row] : rowFirst[row];
  const how = rowEnd[row];
  if (last === (side > 0 ? ends - 1 : 0)) return undefined;
  if (how !== RowEnd.turn && how !== RowEnd.interlock && how !== RowEnd.slit) return undefined;
  for (const step of [-1, 1]) {
    for (let other = row + step; other >= 0 && other < rows && rowPick[other] === rowPick[row]; other += step) {
      const facing = side > 0 ? rowFirst[other] : rowLast[other];
      const away = side > 0 ? rowLast[other] : rowFirst[other];
      if (facing !== last && facing !== last + side) continue;
      if (side * (away - last) <= 0) continue;
      const kind = facing === last ? 'dovetail' : how === RowEnd.interlock ? 'interlock' : 'slit';
      return { kind, beside: other, leftEnd: Math.min(last, facing), rightEnd: Math.max(last, facing) };
    }
  }
  return undefined;
}

/**
 * Yarn of one turn beyond the row's own way, which reaches half a pitch past its last end, mm. Round an end, half a circle over the
 * distance of two picks, S. Interlocked, round the other weft: half a circle of r = half of both widths, and straight on where
 * the picks lie further apart, πr + (S − 2r). Plane geometry, centre lines of yarns that keep their width.
 */
export function turnMm(problem: ClothProblem, row: number, pickPitchMm: Millimetres, join?: RowJoin): Millimetres {
  if (join?.kind !== 'interlock') return (Math.PI / 2) * pickPitchMm;
  const { yarns, rowYarn } = problem;
  const radius = (yarns[rowYarn[row]].contactWidthMm + yarns[rowYarn[join.beside]].contactWidthMm) / 2;
  return Math.PI * radius + Math.max(0, pickPitchMm - 2 * radius);
}

/** One join up the cloth. */
export interface Join {
  readonly kind: JoinKind;
  /** Ends either side of it; one and the same where dovetailed. Rows from the first to the last that come to it. */
  readonly leftEnd: number;
  readonly rightEnd: number;
  readonly firstRow: number;
  readonly lastRow: number;
  readonly heightMm: Millimetres;
  /** Of a slit: how far it stands open at least, between the ends' flanks; nothing keeps it together. */
  readonly openMm?: Reading;
  /** Over the cloth's own thickness, on the back where the wefts are linked. */
  readonly ridgeMm?: Reading;
}

/** A weft comes back to a join every other pick. */
const PICKS_BETWEEN = 2;
/** Known of how wefts bed into one another where they are linked or share an end (estimate). */
const DOUBT = 0.4;
/** Turns of both wefts round one end lie half over one another (estimate). */
const SHARED_END = 0.5;

/**
 * Joins of wefts placed by hand, from below. A slit is open by the room between its ends, and by the pull of turned wefts up to
 * twice that (estimate): nothing crosses it. Where wefts are linked, both lie over one another between two ends: a ridge of
 * both heights less the cloth's own, of an end and a weft, raised on the back (common practice: interlocking shows there).
 */
export function joinsOf(
  problem: ClothProblem,
  { endXMm, rowYMm }: { readonly endXMm: ArrayLike<number>; readonly rowYMm: ArrayLike<number> },
): Join[] {
  const { rows, rowPick, rowYarn, endYarn, yarns } = problem;
  const open = new Map<string, { join: RowJoin; first: number; last: number }>();
  const found: { join: RowJoin; first: number; last: number }[] = [];
  for (let row = 0; row < rows; row++) {
    const join = joinOfRow(problem, row);
    if (!join) continue;
    const key = `${join.kind} ${join.leftEnd} ${join.rightEnd}`;
    const known = open.get(key);
    if (known && rowPick[row] - rowPick[known.last] <= PICKS_BETWEEN) known.last = row;
    else {
      const begun = { join, first: row, last: row };
      open.set(key, begun);
      found.push(begun);
    }
  }
  return found.map(({ join: { kind, beside, leftEnd, rightEnd }, first, last }) => {
    const [left, right] = [yarns[endYarn[leftEnd]], yarns[endYarn[rightEnd]]];
    const [one, other] = [yarns[rowYarn[first]], yarns[rowYarn[beside]]];
    const place = { kind, leftEnd, rightEnd, firstRow: first, lastRow: last, heightMm: rowYMm[last] - rowYMm[first] };
    if (kind === 'slit') {
      const room = Math.max(0, endXMm[rightEnd] - endXMm[leftEnd] - (left.contactWidthMm + right.contactWidthMm) / 2);
      return { ...place, openMm: { value: room, low: 0, high: 2 * room } };
    }
    const both = one.contactHeightMm + other.contactHeightMm;
    const value =
      kind === 'interlock'
        ? Math.max(0, both - (left.contactHeightMm + right.contactHeightMm) / 2 - both / 2)
        : (SHARED_END * both) / 2;
    return { ...place, ridgeMm: { value, low: (1 - DOUBT) * value, high: (1 + DOUBT) * value } };
  });
}
