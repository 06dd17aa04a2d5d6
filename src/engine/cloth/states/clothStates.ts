import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { chooseRegion, type SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { gatherState } from './gatherState.ts';
import { mean } from './mean.ts';
import type { SettledSpacing } from './settleSpacing.ts';
import { settleWindow, type WindowJob, type WindowStates } from './settleWindow.ts';
import type { ClothState, StateModel, StateSpacing } from './stateTypes.ts';
import { finishedBody, OFF_LOOM, SWELLING_KEPT, type Treatment, treatmentFacts } from './treatments.ts';
import { chooseWindows, spaceKinds, type WindowSize } from './windows.ts';

/**
 * Slack and fell tension are fitted by hand on half of the measured fabrics in docs/forecast.md; the rest is the middle of
 * what is known.
 */
export const STATE_MODEL: StateModel = {
  weftSlackShare: 0,
  fellTensionShare: 0.7,
  swellingKept: SWELLING_KEPT,
  shrinkAt: 0.5,
  thicknessFactor: 1,
  tensionFactor: 1,
  hardnessFactor: 1,
};

const WINDOW: WindowSize = { rows: 40, ends: 48 };

export interface StatesOptions {
  readonly treatment: Treatment;
  readonly model?: StateModel;
  /** What the heights are solved for, where the caller has looked for it already. */
  readonly region?: SolvedRegion;
  /** Windows on a cloth without a repeat, and their size; 8 of 40 × 48 by themselves. */
  readonly windows?: number;
  readonly windowSize?: WindowSize;
  /** Kept by the caller between like cloths: what was settled then is where this starts. */
  readonly memory?: StatesMemory;
  /** Windows are settled at the same time where there is one. */
  readonly crew?: Crew;
  /** States wanted; all by itself. */
  readonly upTo?: ClothState;
}

export interface StatesMemory {
  windows?: WindowStates[];
}

/** Length of yarn that its waves take over the cloth, as a share of the yarn. */
export interface TakeUp {
  readonly warp: number;
  readonly weft: number;
}

export interface ClothStates extends Readonly<Record<ClothState, StateSpacing>> {
  /** As the yarn was laid on the loom, whatever becomes of it. */
  readonly laidTakeUp: TakeUp;
}

function thickened(body: YarnBody, factor: number, hardness: number): YarnBody {
  if (factor === 1 && hardness === 1) return body;
  const { contactWidthMm, contactHeightMm, bodyWidthMm, bodyHeightMm, freeWidthMm } = body;
  return {
    ...body,
    contactStiffnessN: body.contactStiffnessN * hardness,
    contactWidthMm: contactWidthMm * factor,
    contactHeightMm: contactHeightMm * factor,
    bodyWidthMm: bodyWidthMm * factor,
    bodyHeightMm: bodyHeightMm * factor,
    freeWidthMm: freeWidthMm * factor,
  };
}

/**
 * The cloth on the loom, off it and finished: where each thread comes to lie for its own length to fit.
 *
 * On the loom rows lie where the beat left them, the warp is under its tension and the weft has the length in which it
 * was laid, so the cloth draws in as the weft bends. Off the loom tension goes but for what friction keeps; the warp takes
 * back its stretch, crimp passes from weft to warp. Finished, yarns are shorter and bulkier. Lengths are kept throughout:
 * what changes is where they go. Source of the idea: F. T. Peirce 1937 (crimp interchange), here with bending and contact
 * solved for (`heights`). Solved in windows on each kind of space between rows (a repeat where there is one).
 */
export function* settleStates(
  problem: ClothProblem,
  rowYMm: Float64Array,
  options: StatesOptions,
): Generator<Progress, ClothStates> {
  const model = options.model ?? STATE_MODEL;
  const treatment = treatmentFacts(options.treatment);
  const { kindOf, kinds } = spaceKinds(problem);
  const yarns = problem.yarns.map((body) => thickened(body, model.thicknessFactor, model.hardnessFactor));
  const loom: ClothProblem = {
    ...problem,
    yarns,
    endTensionN: problem.endTensionN.map((t) => t * model.tensionFactor),
  };
  const finished = yarns.map((body) => finishedBody(body, treatment, model.swellingKept, model.shrinkAt));
  const windows = chooseWindows(
    loom,
    options.region ?? chooseRegion(problem),
    kindOf,
    options.windows ?? 8,
    options.windowSize ?? WINDOW,
  );
  const states: Record<ClothState, SettledSpacing[]> = { onLoom: [], offLoom: [], finished: [] };
  const order: readonly ClothState[] = ['onLoom', 'offLoom', 'finished'];
  const wanted = order.slice(0, order.indexOf(options.upTo ?? 'finished') + 1);
  const now: WindowStates[] = [];
  const jobs = windows.map(({ problem: part, region, rowOf }, number) => (): WindowJob => {
    const y = Float64Array.from(rowOf, (row) => rowYMm[row]);
    const before = options.memory?.windows?.[number];
    return { problem: part, region, rowYMm: y, model, wanted, treatment, finished, ...(before ? { before } : {}) };
  });
  const take = (settled: WindowStates) => {
    now.push(settled);
    for (const state of wanted) states[state].push(settled[state] as SettledSpacing);
  };
  yield* together(options.crew, settleWindow, jobs, take, (share) => ({ stage: 'states', share }));
  if (options.memory) options.memory.windows = now;
  const gather = (state: ClothState) => {
    const from = states[state].length > 0 ? state : wanted[wanted.length - 1];
    const facts = state === 'onLoom' ? undefined : state === 'offLoom' ? OFF_LOOM : treatment;
    const keeps = facts?.keepsTension ?? 1;
    const reedMarks = facts?.reedMarks ?? 'onLoom';
    const bodies = state === 'finished' ? finished : yarns;
    return gatherState(loom, rowYMm, windows, states.onLoom, states[from], {
      kindOf,
      kinds,
      keeps,
      reedMarks,
      bodies,
      model,
    });
  };
  const takeUp = (own: (loom: SettledSpacing) => Float64Array) =>
    1 - 1 / mean(states.onLoom.map((loom) => mean(own(loom))));
  const weftLaid = ({ lengths, weftOver }: SettledSpacing) =>
    lengths.weftByRow.map((length, row) => length * (1 + Math.max(0, weftOver[row])));
  return {
    onLoom: gather('onLoom'),
    offLoom: gather('offLoom'),
    finished: gather('finished'),
    laidTakeUp: { warp: takeUp(({ lengths }) => lengths.warpByEnd), weft: takeUp(weftLaid) },
  };
}
