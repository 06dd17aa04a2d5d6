/** A change of width takes so much of the width along the cloth to come about: shear passes it on (judgement). */
const REACH_SHARE = 0.3;

/**
 * Widths along the cloth from what each row asks for: running means, weighted by the room of each row, over a length that
 * goes with the width.
 * @param wishes width over that in the reed, one a row
 * @param rowYMm ascending
 */
export function evenedOutline(wishes: Float64Array, rowYMm: Float64Array, widthMm: number): Float64Array {
  const rows = wishes.length;
  const reach = REACH_SHARE * widthMm;
  const sums = new Float64Array(rows + 1);
  const rooms = new Float64Array(rows + 1);
  for (let row = 0; row < rows; row++) {
    const room = Math.max(1e-6, (rowYMm[Math.min(rows - 1, row + 1)] - rowYMm[Math.max(0, row - 1)]) / 2);
    sums[row + 1] = sums[row] + wishes[row] * room;
    rooms[row + 1] = rooms[row] + room;
  }
  const out = new Float64Array(rows);
  let from = 0;
  let to = 0;
  for (let row = 0; row < rows; row++) {
    while (rowYMm[row] - rowYMm[from] > reach) from++;
    while (to < rows && rowYMm[to] - rowYMm[row] <= reach) to++;
    out[row] = (sums[to] - sums[from]) / (rooms[to] - rooms[from]);
  }
  return out;
}

/** One place along the cloth: how far up it lies and how wide the cloth is there, mm. */
export interface OutlinePoint {
  readonly atMm: number;
  readonly widthMm: number;
}

/** Places along the cloth at which its outline is told, at most. */
const MOST_POINTS = 40;

/**
 * The cloth's width along its length, at evenly chosen rows, the first and last among them.
 * @param widthMm of the cloth in the reed
 */
export function outlinePoints(widthByRow: Float64Array, rowYMm: Float64Array, widthMm: number): OutlinePoint[] {
  const rows = widthByRow.length;
  const points = Math.min(rows, MOST_POINTS);
  return Array.from({ length: points }, (_, k) => {
    const row = points > 1 ? Math.round((k * (rows - 1)) / (points - 1)) : 0;
    return { atMm: rowYMm[row], widthMm: widthMm * widthByRow[row] };
  });
}
