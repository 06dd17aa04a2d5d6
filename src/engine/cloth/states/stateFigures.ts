import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { meanOfGreatest } from '#engine/cloth/forecast/thickness.ts';
import { crushTables } from '#engine/cloth/heights/crushTable.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { crushLawOf } from '#engine/yarn/compression.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { mean } from './mean.ts';
import type { SettledSpacing } from './settleSpacing.ts';
import type { StateSpacing } from './stateTypes.ts';
import type { Window } from './windows.ts';

/** What a state comes to, from one window: to be compared with the same after a change, not to be shown. */
export interface StateFigures {
  /** Over that in the reed. */
  readonly width: number;
  /** mm. */
  readonly length: number;
  /** mm. */
  readonly thickness: number;
  /** g/m². */
  readonly weight: number;
  /** Shares of the yarn. */
  readonly warpTakeUp: number;
  readonly weftTakeUp: number;
  /** Shares of the face; with `open` they add up to 1. */
  readonly warpCover: number;
  readonly weftCover: number;
  readonly open: number;
}
export type FigureName = keyof StateFigures;

/** Figures of a cloth in a state, whose window was settled so. */
export function stateFigures(
  problem: ClothProblem,
  window: Window,
  state: StateSpacing,
  settled: SettledSpacing,
): StateFigures {
  const { lengths } = settled;
  const { ends, rows, endXMm, endYarn, rowYarn } = problem;
  const takeUp = (own: Float64Array) => 1 - 1 / mean(own);
  const [warpTakeUp, weftTakeUp] = [takeUp(lengths.warpByEnd), takeUp(lengths.weftByRow)];
  const length = state.rowYMm[rows - 1] || 1;
  const widthMm = state.widthShare * (endXMm[ends - 1] - endXMm[0]) || 1;
  const meanOf = (threads: Uint16Array, value: (body: YarnBody) => number) =>
    mean(Float64Array.from(threads, (yarn) => value(state.yarns[yarn])));
  const perMm = { warp: Math.max(1, ends - 1) / widthMm, weft: Math.max(1, rows - 1) / length };
  const weight =
    (meanOf(endYarn, ({ tex }) => tex) * perMm.warp) / (1 - warpTakeUp) +
    (meanOf(rowYarn, ({ tex }) => tex) * perMm.weft) / (1 - weftTakeUp);
  // Shares of the way that threads of straight edges cover; where both are, the one on top is seen.
  const covered = {
    warp: Math.min(1, perMm.warp * meanOf(endYarn, ({ bodyWidthMm }) => bodyWidthMm)),
    weft: Math.min(1, perMm.weft * meanOf(rowYarn, ({ bodyWidthMm }) => bodyWidthMm)),
  };
  const both = covered.warp * covered.weft;
  const up = warpUpShare(window);
  return {
    width: state.widthShare,
    length,
    thickness: thicknessMm(window, state.yarns, settled),
    weight,
    warpTakeUp,
    weftTakeUp,
    warpCover: covered.warp - both * (1 - up),
    weftCover: covered.weft - both * up,
    open: (1 - covered.warp) * (1 - covered.weft),
  };
}

function warpUpShare({ problem, region }: Window): number {
  const { firstRow, rows, firstEnd, ends } = region;
  let up = 0;
  for (let row = 0; row < rows; row++)
    for (let end = 0; end < ends; end++) if (isWarpUp(problem.drawdown, firstRow + row, firstEnd + end)) up++;
  return up / (rows * ends);
}

/** As `clothThickness` measures it, over pressed sections. */
function thicknessMm({ problem, region }: Window, yarns: readonly YarnBody[], { solution }: SettledSpacing): number {
  const { firstRow, rows, firstEnd, ends } = region;
  const crush = crushTables(yarns.map(crushLawOf));
  const top = new Float32Array(rows * ends);
  const bottom = new Float32Array(rows * ends);
  for (let row = 0, k = 0; row < rows; row++) {
    const weft = problem.rowYarn[firstRow + row];
    for (let end = 0; end < ends; end++, k++) {
      const warp = problem.endYarn[firstEnd + end];
      const force = solution.contactForceN[k];
      const [w, wHalf] = [solution.warpHeightMm[k], crush[warp].at(force)];
      const [f, fHalf] = [solution.weftHeightMm[k], crush[weft].at(force)];
      top[k] = Math.max(w + wHalf, f + fHalf);
      bottom[k] = Math.min(w - wHalf, f - fHalf);
    }
  }
  const tenth = Math.max(1, Math.round(top.length / 10));
  return meanOfGreatest(top, tenth, 1) + meanOfGreatest(bottom, tenth, -1);
}
