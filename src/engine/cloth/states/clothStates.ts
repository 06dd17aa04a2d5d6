import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { chooseRegion, type SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { fellTension, gatherState } from './gatherState.ts';
import { leastRoom } from './leastRoom.ts';
import { mean } from './mean.ts';
import { type SettledSpacing, settleSpacing } from './settleSpacing.ts';
import type { ClothState, StateModel, StateSpacing } from './stateTypes.ts';
import { finishedBody, OFF_LOOM, SWELLING_KEPT, shrinkShare, type Treatment, treatmentFacts } from './treatments.ts';
import { chooseWindows, spaceKinds, type Window, type WindowSize } from './windows.ts';

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

/** A weaver who sees the edges come in further lays the weft in a steeper arc (common practice). */
const MOST_DRAW_IN = 0.1;
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
  /** States wanted; all by itself. */
  readonly upTo?: ClothState;
}

type WindowStates = Partial<Record<ClothState, SettledSpacing>>;

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
  for (const [number, window] of windows.entries()) {
    yield { stage: 'states', share: number / windows.length };
    const before = options.memory?.windows?.[number];
    const settled = yield* settleWindow(window, rowYMm, model, wanted, treatment, finished, before);
    now.push(settled);
    for (const state of wanted) states[state].push(settled[state] as SettledSpacing);
  }
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
  const takeUp = (own: 'warpByEnd' | 'weftByRow') =>
    1 - 1 / mean(states.onLoom.map(({ lengths }) => mean(lengths[own])));
  return {
    onLoom: gather('onLoom'),
    offLoom: gather('offLoom'),
    finished: gather('finished'),
    laidTakeUp: { warp: takeUp('warpByEnd'), weft: takeUp('weftByRow') },
  };
}

function* settleWindow(
  window: Window,
  rowYMm: Float64Array,
  model: StateModel,
  wanted: readonly ClothState[],
  treatment: ReturnType<typeof treatmentFacts>,
  finished: readonly YarnBody[],
  before: WindowStates = {},
): Generator<Progress, WindowStates> {
  const { problem, region, rowOf } = window;
  const { firstRow, rows } = region;
  const y = Float64Array.from(rowOf, (row) => rowYMm[row]);
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const rowTensionN = fellTension(problem, model);
  const stiffness = Float64Array.from({ length: rows }, (_, row) => {
    return (ofRow(row).finishing?.loomModulusNPerTex ?? 0.5) * ofRow(row).tex;
  });
  const laid = 1 + model.weftSlackShare;
  const spaces = region.boundary === 'periodic' ? rows : rows - 1;
  const spacesMm = Float64Array.from({ length: spaces }, (_, k) => y[firstRow + k + 1] - y[firstRow + k]);
  const { leastMm, leastWidth } = leastRoom(problem, region, spacesMm);
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[region.firstEnd + end]];
  const endStiffness = Float64Array.from({ length: region.ends }, (_, end) => {
    return (ofEnd(end).finishing?.loomModulusNPerTex ?? 0.5) * ofEnd(end).tex;
  });
  const common = { leastMm, leastWidth, stiffness, endStiffness, warpOfMean: new Float64Array(region.ends).fill(1) };
  const out: WindowStates = {};
  /** A start of another extent is none. */
  const like = (start: SettledSpacing | undefined) =>
    start && start.solution.rows === rows && start.solution.ends === region.ends ? start : undefined;
  const onLoom = yield* settleSpacing(
    problem,
    region,
    y,
    {
      ...common,
      leastWidth: Math.max(leastWidth, 1 - MOST_DRAW_IN),
      weftPerReedMm: new Float64Array(rows).fill(laid),
      endTensionN: problem.endTensionN,
      rowTensionN,
    },
    like(before.onLoom),
  );
  const slackOf = (end: number) => problem.endSlackShare?.[region.firstEnd + end] ?? 0;
  out.onLoom = { ...onLoom, warpOver: Float64Array.from({ length: region.ends }, (_, end) => slackOf(end)) };
  // Lengths at rest: the loom's stretch let go, and what was let off besides.
  const atRest = Float64Array.from({ length: region.ends }, (_, end) => {
    const { tex, finishing } = ofEnd(end);
    const strain = finishing ? problem.endTensionN[region.firstEnd + end] / (finishing.loomModulusNPerTex * tex) : 0;
    return (onLoom.lengths.warpByEnd[end] * (1 + slackOf(end))) / (1 + strain);
  });
  const warp = (own: Float64Array) => {
    const share = mean(own) / mean(onLoom.lengths.warpByEnd);
    return {
      warpMm: onLoom.rowSpacesMm.map((space, k) => space * onLoom.lengths.warpByRow[k] * share),
      warpOfMean: own.map((length) => length / mean(own)),
    };
  };
  // Where it would have drawn in further, it was laid longer.
  const weft = (row: number) =>
    Math.max(laid, onLoom.lengths.weftByRow[row] * onLoom.widthShare) /
    (1 + (ofRow(row).finishing?.laidStretchShare ?? 0));
  const kept = (share: number) => ({
    endTensionN: problem.endTensionN.map((tension) => tension * share),
    rowTensionN: rowTensionN.map((tension) => tension * share),
  });
  if (!wanted.includes('offLoom')) return out;
  const offLoom = yield* settleSpacing(
    problem,
    region,
    y,
    {
      ...common,
      ...kept(OFF_LOOM.keepsTension),
      ...warp(atRest),
      weftPerReedMm: Float64Array.from({ length: rows }, (_, r) => weft(r)),
    },
    like(before.offLoom) ?? onLoom,
  );
  out.offLoom = offLoom;
  if (!wanted.includes('finished')) return out;
  const shortened = atRest.map((length, end) => length * (1 - shrinkShare(ofEnd(end), treatment, model.shrinkAt)));
  out.finished = yield* settleSpacing(
    { ...problem, yarns: finished },
    region,
    y,
    {
      ...common,
      ...kept(treatment.keepsTension),
      ...warp(shortened),
      weftPerReedMm: Float64Array.from(
        { length: rows },
        (_, r) => weft(r) * (1 - shrinkShare(ofRow(r), treatment, model.shrinkAt)),
      ),
    },
    like(before.finished) ?? offLoom,
  );
  return out;
}
