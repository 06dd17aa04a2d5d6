import { isWarpUp } from '#engine/draft/drawdown.ts';
import type { CheckedCloth, Finding } from './checkTypes.ts';

type Edge = 'left' | 'right';

/** An edge end that goes uncaught over more picks than this hangs loose (common practice: four at most). */
export const MOST_UNCAUGHT = 4;
/** Over more than this it comes away; up to it, as in satins, it is only loose (estimate). */
const NEVER = 16;

/**
 * Edges whose outermost end the turning wefts miss. A weft that leaves a shed at an edge and comes back there in a later
 * one catches the end only if it lies on the other side of it by then. Wefts are followed by yarn, a shuttle each.
 */
export function findSelvedges(cloth: CheckedCloth): Finding[] {
  const { drawdown, rowYarn } = cloth;
  if (drawdown.ends < 2 || drawdown.rows < 2) return [];
  const shuttles = [...new Set(Array.from(rowYarn))];
  const as = uncaught(cloth, new Set());
  const ways = [...shuttles.map((yarn) => [yarn]), ...(shuttles.length > 1 ? [shuttles] : [])];
  return (['left', 'right'] as const).flatMap((edge): Finding[] => {
    const { rows, at } = as[edge];
    if (rows <= MOST_UNCAUGHT) return [];
    const other: Edge = edge === 'left' ? 'right' : 'left';
    const startOther = ways.find((yarns) => {
      const begun = uncaught(cloth, new Set(yarns));
      return begun[edge].rows <= MOST_UNCAUGHT && begun[other].rows <= Math.max(MOST_UNCAUGHT, as[other].rows);
    });
    const end = edge === 'left' ? 0 : drawdown.ends - 1;
    return [
      {
        kind: 'selvedge',
        weight: rows > NEVER || rows === drawdown.rows ? 'mistake' : 'look',
        edge,
        uncaughtRows: rows,
        cure: startOther ? { startOther } : 'floatingSelvedge',
        count: 1,
        places: [{ fromRow: at, toRow: at + rows - 1, fromEnd: end, toEnd: end }],
      },
    ];
  });
}

/** Longest run of rows over which each edge's end is caught by no turn, where some yarns are begun from the other side. */
function uncaught(cloth: CheckedCloth, flipped: ReadonlySet<number>): Record<Edge, { rows: number; at: number }> {
  const { drawdown, rowYarn, rowFirst, rowLast, rowEntersRight, rowTurns, endFloating } = cloth;
  const lastEnd = drawdown.ends - 1;
  const caughtAt: Record<Edge, number[]> = { left: [], right: [] };
  let whole: Record<Edge, number> = { left: 0, right: 0 };
  const before = new Map<number, number>();
  for (let row = 0; row < drawdown.rows; row++) {
    const yarn = rowYarn[row];
    const enters: Edge = (rowEntersRight[row] === 1) !== flipped.has(yarn) ? 'right' : 'left';
    const end = enters === 'left' ? 0 : lastEnd;
    const reaches = (at: number) => (enters === 'left' ? rowFirst[at] === 0 : rowLast[at] === lastEnd);
    const last = before.get(yarn);
    before.set(yarn, row);
    if (!reaches(row)) continue;
    whole = { ...whole, [enters]: whole[enters] + 1 };
    if (last === undefined || !reaches(last) || rowTurns[last] !== 1) continue;
    const entered: Edge = (rowEntersRight[last] === 1) !== flipped.has(yarn) ? 'right' : 'left';
    // It came in where it goes in now, so it was carried round, not turned.
    if (entered === enters) continue;
    if (endFloating?.[end] === 1 || isWarpUp(drawdown, last, end) !== isWarpUp(drawdown, row, end))
      caughtAt[enters].push(row);
  }
  const longest = (edge: Edge) => {
    let rows = 0;
    let at = 0;
    let from = 0;
    // Before the first catch and after the last the piece's own ends hold the thread no better.
    for (const next of [...caughtAt[edge], drawdown.rows]) {
      if (next - from > rows) {
        rows = next - from;
        at = from;
      }
      from = next;
    }
    return { rows: whole[edge] === 0 ? 0 : rows, at };
  };
  return { left: longest('left'), right: longest('right') };
}
