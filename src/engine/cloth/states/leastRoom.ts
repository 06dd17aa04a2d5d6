import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { curvatureTheoryLeastSpacing } from '#engine/cloth/peirce/jamming.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';

/** Floating side by side, threads come no closer than this share of their contact width: they are as flat then as they go. */
const CLOSEST = 0.75;
/** Contacts flatten a little past the jam of round threads (common practice: 5–10 %). */
const PAST_JAM = 0.95;
/** Draw-in at which rows are judged; they hardly feel a few per cent of it. */
const USUAL_WIDTH = 0.92;

interface Room {
  /** Width over that in the reed below which ends do not come. */
  readonly leastWidth: number;
  /** Per space between rows of the region, mm. */
  readonly leastMm: Float64Array;
}

const mean = (count: number, of: (index: number) => number): number => {
  let sum = 0;
  for (let k = 0; k < count; k++) sum += of(k);
  return count > 0 ? sum / count : 0;
};

/**
 * How close threads of a region come: at the jam of plain weave where they interlace (F. T. Peirce 1937, race-track
 * sections), side by side where they float, in between in the measure in which they interlace.
 * @param spacesMm of the rows as they lie; none is asked to grow
 */
export function leastRoom(problem: ClothProblem, region: SolvedRegion, spacesMm: Float64Array): Room {
  const { firstRow, rows, firstEnd, ends } = region;
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[firstEnd + end]];
  const up = (row: number, end: number) => isWarpUp(problem.drawdown, firstRow + (row % rows), firstEnd + (end % ends));
  const pitchMm = (problem.endXMm[firstEnd + ends - 1] - problem.endXMm[firstEnd]) / Math.max(1, ends - 1);
  const endWidthMm = mean(ends, (end) => ofEnd(end).contactWidthMm);
  const endHeightMm = mean(ends, (end) => ofEnd(end).contactHeightMm);
  const rowWidthMm = mean(rows, (row) => ofRow(row).contactWidthMm);
  const rowHeightMm = mean(rows, (row) => ofRow(row).contactHeightMm);
  const rowPitchMm = mean(spacesMm.length, (k) => spacesMm[k]);
  const between = (widthMm: number, jamMm: number, share: number) =>
    CLOSEST * widthMm + share * Math.max(0, PAST_JAM * jamMm - CLOSEST * widthMm);
  const sideways = mean(rows, (row) => mean(ends - 1, (end) => (up(row, end) === up(row, end + 1) ? 0 : 1)));
  const endJam = curvatureTheoryLeastSpacing({
    endPitchMm: rowPitchMm,
    endWidthMm: rowWidthMm,
    endHeightMm: rowHeightMm,
    pickWidthMm: endWidthMm,
    pickHeightMm: endHeightMm,
  });
  const leastMm = spacesMm.map((space, k) => {
    const [a, b] = [ofRow(k), ofRow((k + 1) % rows)];
    const pickWidthMm = (a.contactWidthMm + b.contactWidthMm) / 2;
    const pickHeightMm = (a.contactHeightMm + b.contactHeightMm) / 2;
    const endPitchMm = USUAL_WIDTH * pitchMm;
    const jam = curvatureTheoryLeastSpacing({ endPitchMm, endWidthMm, endHeightMm, pickWidthMm, pickHeightMm });
    const share = mean(ends, (end) => (up(k, end) === up(k + 1, end) ? 0 : 1));
    return Math.min(space, between(pickWidthMm, jam, share));
  });
  return { leastWidth: pitchMm > 0 ? Math.min(1, between(endWidthMm, endJam, sideways) / pitchMm) : 1, leastMm };
}
