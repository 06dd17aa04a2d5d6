import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/**
 * Narrower than this share of its width where a thread crosses it, an end is not pressed by its neighbours: at its area it would
 * stand nearly three times as high as wide, and turn or ride up instead (estimate; a warp-faced band lies at about 0.8).
 */
export const LEAST_SQUEEZE = 0.6;
/** Ends further on that may lie over or under one another: four layers. */
const LAYERS = 4;
/** Less is within what widths are known to. */
const LEAST_TOLD = 0.97;

/** Ends that are set closer than they are wide. */
export interface Crowding {
  /** First and last end of where they are closest, from 0. */
  readonly firstEnd: number;
  readonly lastEnd: number;
  /** Room over width there. */
  readonly share: number;
  /** Ends to the cm that would lie side by side there without pressing one another. */
  readonly sideBySidePerCm: number;
  /** Pressed narrow and tall by their neighbours, or more than they give: they ride over one another. */
  readonly how: 'pressed' | 'ride';
}

/**
 * Whether two ends must pass each other side by side somewhere: each lies over the other in some pick, or they work alike. Where one is
 * over the other throughout, they lie in layers and need no room beside each other.
 */
function sideBySide(drawdown: Drawdown, a: number, b: number, from: number, to: number): boolean {
  let over = false;
  let under = false;
  for (let row = from; row < to; row++) {
    const [upA, upB] = [isWarpUp(drawdown, row, a), isWarpUp(drawdown, row, b)];
    if (upA && !upB) over = true;
    else if (upB && !upA) under = true;
    if (over && under) return true;
  }
  return over === under;
}

/**
 * Room over width of each end, at most 1, where its neighbours leave it less than it is wide. Of two ends that do not fit, each gives
 * the same share of its width. Undefined where all have room.
 * @param firstRow,rows of the cloth that are looked at: a repeat is enough
 */
export function crowdedEnds(
  { drawdown, yarns, endYarn, endXMm, ends }: ClothProblem,
  firstRow: number,
  rows: number,
): Float64Array | undefined {
  const share = new Float64Array(ends).fill(1);
  let crowded = false;
  const widthOf = (end: number) => yarns[endYarn[end]].contactWidthMm;
  for (let end = 0; end + 1 < ends; end++) {
    for (let other = end + 1; other <= end + LAYERS && other < ends; other++) {
      const fits = (endXMm[other] - endXMm[end]) / ((widthOf(end) + widthOf(other)) / 2);
      if (fits >= 1) break;
      if (!sideBySide(drawdown, end, other, firstRow, firstRow + rows)) continue;
      share[end] = Math.min(share[end], fits);
      share[other] = Math.min(share[other], fits);
      crowded = true;
      break;
    }
  }
  return crowded ? share : undefined;
}

/** What an end is drawn and solved with: its width over its contact width; as much higher, since its area stays. */
export function squeezeOf(share: number): number {
  return Math.max(LEAST_SQUEEZE, share);
}

/** Where ends stand closest beside what they are wide; undefined where none is noticeably crowded. */
export function crowdingOf(problem: ClothProblem, share: Float64Array | undefined): Crowding | undefined {
  if (!share) return undefined;
  const least = Math.min(...share);
  if (least > LEAST_TOLD) return undefined;
  const alike = (end: number) => end >= 0 && end < share.length && share[end] <= LEAST_TOLD;
  const at = share.indexOf(least);
  let firstEnd = at;
  let lastEnd = at;
  while (alike(firstEnd - 1)) firstEnd--;
  while (alike(lastEnd + 1)) lastEnd++;
  let widths = 0;
  for (let end = firstEnd; end <= lastEnd; end++) widths += problem.yarns[problem.endYarn[end]].contactWidthMm;
  return {
    firstEnd,
    lastEnd,
    share: least,
    sideBySidePerCm: (10 * (lastEnd + 1 - firstEnd)) / widths,
    how: least < LEAST_SQUEEZE ? 'ride' : 'pressed',
  };
}
