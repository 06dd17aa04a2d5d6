import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { settleStates } from '#engine/cloth/states/clothStates.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { YarnFinishing } from '#engine/yarn/finishing.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, type ProblemOptions, roundBody } from '#tests/helpers/problems.ts';

const cottonFinish: YarnFinishing = {
  loomModulusNPerTex: 0.5,
  shrinkShare: [0.01, 0.03],
  swellingShare: 0.14,
  felts: false,
  laidStretchShare: 0,
};
const woolFinish: YarnFinishing = { ...cottonFinish, loomModulusNPerTex: 0.23, shrinkShare: [0.02, 0.05], felts: true };
const yarn = (finishing?: YarnFinishing): YarnBody => ({
  ...roundBody('8/2', 0.462, 0.016, 147.6),
  ...(finishing ? { finishing } : {}),
});
export const rigid = yarn();
export const cotton = yarn(cottonFinish);
export const wool = yarn(woolFinish);
/** A strip 0.4 mm wide and 0.03 mm thick; E w g³/12 = 0.004 N mm² of polyester. */
export const film: YarnBody = {
  ...roundBody('film', 0.4, 0.004, 17),
  shape: 'strip',
  contactHeightMm: 0.03,
  bodyHeightMm: 0.03,
  finishing: { ...cottonFinish, shrinkShare: [0, 0], swellingShare: 0 },
};
export const elastic: YarnBody = {
  ...roundBody('elastic', 0.5, 0.002, 150),
  finishing: {
    ...cottonFinish,
    loomModulusNPerTex: 0.01,
    shrinkShare: [0, 0],
    swellingShare: 0,
    laidStretchShare: 0.5,
  },
};

export function clothOf(
  weave: Drawdown,
  warp: YarnBody,
  weft: YarnBody | YarnBody[],
  more: Partial<ProblemOptions> = {},
) {
  return clothProblem({
    weave,
    rows: 48,
    ends: 48,
    endsPerCm: 20 / 2.54,
    warp: [warp],
    weft: Array.isArray(weft) ? weft : [weft],
    endTensionN: 0.74,
    ...more,
  });
}

export function statesOf(problem: ReturnType<typeof clothOf>, treatment: Treatment = 'handWashed') {
  return finish(settleStates(problem, rowPositions(problem, false).rowYMm, { treatment }));
}
