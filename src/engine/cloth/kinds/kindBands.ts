/** Rows and ends of a part of the cloth that may be chosen as a window's inner part. */
const PART_ROWS = 48;
export const PART_ENDS = 48;

export function partsAcross(ends: number): number {
  return Math.ceil(ends / PART_ENDS);
}

/** First rows of the bands of a cloth and the count of its rows; between rows of tiles of the picture, which begin one cell outside. */
export function kindCuts(rows: number): number[] {
  const cuts = [0];
  for (let at = PART_ROWS - 1; at < rows; at += PART_ROWS) cuts.push(at);
  if (cuts.length > 1 && rows - (cuts.at(-1) as number) < PART_ROWS / 2) cuts.pop();
  return [...cuts, rows];
}
