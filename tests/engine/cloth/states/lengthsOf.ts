import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { chooseRegion, regionProblem } from '#engine/cloth/forecast/regionProblem.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { problemInState, type StateSpacing } from '#engine/cloth/states/stateTypes.ts';
import { finish } from '#tests/helpers/finish.ts';

const STEPS = 400;

/** Length of a piecewise curve by many short chords: nothing of the engine's own quadrature. */
function chords(z: (u: number) => number, pitchMm: number): number {
  let length = 0;
  for (let k = 0; k < STEPS; k++) {
    length += Math.hypot(pitchMm / STEPS, z((k + 1) / STEPS) - z(k / STEPS));
  }
  return length;
}

const span = (heights: Float64Array): number => Math.max(...heights) - Math.min(...heights);

/** Mean length of warp to a repeat of rows and of weft to a repeat of ends, mm, with heights solved anew in the state. */
export function lengthsOf(problem: ClothProblem, state: StateSpacing) {
  const there = problemInState(problem, state);
  const region = chooseRegion(problem);
  const heights = regionProblem(there, region, state.rowYMm);
  const solved = finish(solveHeights(heights, { tolerance: 1e-4, errorTolerance: 3e-4 }));
  const { rows, ends } = heights;
  const system = (warp: boolean) => {
    const [z, s, a, b] = warp
      ? [solved.warpHeightMm, solved.warpSlope, solved.warpWrapStartMm, solved.warpWrapEndMm]
      : [solved.weftHeightMm, solved.weftSlope, solved.weftWrapStartMm, solved.weftWrapEndMm];
    const position = warp ? heights.rowYMm : heights.endXMm;
    const period = (warp ? heights.periodYMm : heights.periodXMm) as number;
    let length = 0;
    for (let row = 0; row < rows; row++) {
      for (let end = 0; end < ends; end++) {
        const from = row * ends + end;
        const to = warp ? ((row + 1) % rows) * ends + end : row * ends + ((end + 1) % ends);
        const k = warp ? row : end;
        const p = k + 1 < position.length ? position[k + 1] - position[k] : period - position[k] + position[0];
        length += chords((u) => {
          const v = 1 - u;
          return (
            v * v * (1 + 2 * u) * z[from] +
            u * u * (3 - 2 * u) * z[to] +
            p * u * v * (v * s[from] - u * s[to]) +
            (u * v) ** 2 * (v * a[from] + u * b[from])
          );
        }, p);
      }
    }
    return { lengthMm: length / (warp ? ends : rows), period };
  };
  const warp = system(true);
  const weft = system(false);
  return {
    warpMm: warp.lengthMm,
    weftMm: weft.lengthMm,
    warpCrimp: warp.lengthMm / warp.period - 1,
    weftCrimp: weft.lengthMm / weft.period - 1,
    /** From lowest to highest crossing of a system. */
    warpRiseMm: span(solved.warpHeightMm),
    weftRiseMm: span(solved.weftHeightMm),
    endPitchMm: weft.period / ends,
    pickPitchMm: warp.period / rows,
  };
}
