import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { curvatureTheoryLeastSpacing } from '#engine/cloth/peirce/jamming.ts';
import { layerMap, Side } from '#engine/cloth/relief/layerMap.ts';
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

/** 2 where most of a region is two cloths one over the other, else 1. */
function layersOver(problem: ClothProblem, region: SolvedRegion): number {
  const { firstRow, rows, firstEnd, ends, boundary } = region;
  // A repeat begins at the cloth's first thread as well as at its own.
  const whole = boundary === 'periodic' || (firstRow === 0 && firstEnd === 0);
  if (!whole) return 1;
  const steps = layerMap(problem.drawdown, rows, ends, boundary === 'periodic');
  let step = steps.next();
  while (!step.done) step = steps.next();
  const layered = step.value.rowSide.reduce((count, side) => count + (side === Side.none ? 0 : 1), 0);
  return 2 * layered > rows * ends ? 2 : 1;
}

/**
 * How close threads of a region come: at the jam of plain weave where they interlace (F. T. Peirce 1937, race-track
 * sections), side by side where they float, in between in the measure in which they interlace.
 * Threads of two layers pass over one another: there only every other one is a neighbour.
 * @param spacesMm of the rows as they lie; none is asked to grow
 */
export function leastRoom(problem: ClothProblem, region: SolvedRegion, spacesMm: Float64Array): Room {
  const { firstRow, rows, firstEnd, ends } = region;
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[firstEnd + end]];
  const layers = layersOver(problem, region);
  const up = (row: number, end: number) => isWarpUp(problem.drawdown, firstRow + (row % rows), firstEnd + (end % ends));
  const pitchMm = (layers * (problem.endXMm[firstEnd + ends - 1] - problem.endXMm[firstEnd])) / Math.max(1, ends - 1);
  const endWidthMm = mean(ends, (end) => ofEnd(end).contactWidthMm);
  const endHeightMm = mean(ends, (end) => ofEnd(end).contactHeightMm);
  const rowWidthMm = mean(rows, (row) => ofRow(row).contactWidthMm);
  const rowHeightMm = mean(rows, (row) => ofRow(row).contactHeightMm);
  const rowPitchMm = layers * mean(spacesMm.length, (k) => spacesMm[k]);
  const between = (widthMm: number, jamMm: number, share: number) =>
    CLOSEST * widthMm + share * Math.max(0, PAST_JAM * jamMm - CLOSEST * widthMm);
  const sideways = mean(rows, (row) => mean(ends - 1, (end) => (up(row, end) === up(row, end + layers) ? 0 : layers)));
  const endJam = curvatureTheoryLeastSpacing({
    endPitchMm: rowPitchMm,
    endWidthMm: rowWidthMm,
    endHeightMm: rowHeightMm,
    pickWidthMm: endWidthMm,
    pickHeightMm: endHeightMm,
  });
  const leastMm = spacesMm.map((space, k) => {
    const [a, b] = [ofRow(k), ofRow((k + layers) % rows)];
    const pickWidthMm = (a.contactWidthMm + b.contactWidthMm) / 2;
    const pickHeightMm = (a.contactHeightMm + b.contactHeightMm) / 2;
    const endPitchMm = USUAL_WIDTH * pitchMm;
    const jam = curvatureTheoryLeastSpacing({ endPitchMm, endWidthMm, endHeightMm, pickWidthMm, pickHeightMm });
    const share = mean(ends, (end) => (up(k, end) === up(k + layers, end) ? 0 : 1));
    return Math.min(space, between(pickWidthMm, jam, Math.min(1, layers * share)) / layers);
  });
  return {
    leastWidth: pitchMm > 0 ? Math.min(1, between(endWidthMm, endJam, Math.min(1, sideways)) / pitchMm) : 1,
    leastMm,
  };
}
