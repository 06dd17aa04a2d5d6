import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { type ClothStates, STATE_MODEL, type StatesMemory, settleStates } from './clothStates.ts';
import { type FigureName, type StateFigures, stateFigures } from './stateFigures.ts';
import type { ClothState, StateModel } from './stateTypes.ts';
import type { Treatment } from './treatments.ts';
import { chooseWindows, spaceKinds, type Window } from './windows.ts';

/**
 * By how much the figures of a cloth may differ in each state, 80 in 100, for what is not known: shares of themselves for
 * sizes, thickness and weight; points for take-up and cover. The beat's part is in all but the length, whose two sides
 * differ (`clothSizes`).
 */
export type SizeDoubts = Readonly<Record<ClothState, StateFigures>>;

/** What is not known, as the half of its 80 % interval on the side that is tried. Estimates; see docs/forecast.md. */
export const STATE_UNKNOWNS: readonly Partial<StateModel>[] = [
  { weftSlackShare: STATE_MODEL.weftSlackShare + 0.02 },
  { fellTensionShare: 2 * STATE_MODEL.fellTensionShare },
  { swellingKept: 1.6 * STATE_MODEL.swellingKept },
  { shrinkAt: 0.9 },
  { thicknessFactor: 1.06 },
  { tensionFactor: 1.4 },
  // van Wyk's K is known within a factor of three; the fitted rows narrow it to less than two (docs/forecast.md).
  { hardnessFactor: 0.55 },
];
/**
 * What the model itself leaves out of sizes (friction, the way an edge is drawn in): off the loom, and after a finish. The fitted
 * rows of docs/forecast.md ask for none beside their readings' own doubt; seven being few, it is not taken for nothing.
 */
export const MODEL_DOUBT = { loom: 0.006, off: 0.0075, finished: 0.0125 };
/** Of the thickness: a gauge's foot presses, and how hard is seldom told (common practice: a tenth between usual gauges). */
const GAUGE_DOUBT = 0.1;
/** Of the weight: spun yarn is within about ±3 % of the count that it is sold by (common practice, from memory). */
const COUNT_DOUBT = 0.03;
/** Of take-up, as a share of itself: the yarns' stiffness is known within a factor of about 2.5. */
const STIFFNESS_DOUBT = 0.2;
/** Of cover, in points: threads are not the ellipses that they are taken for. */
const COVER_DOUBT = 0.02;
const SMALL_WINDOW = { rows: 24, ends: 24 };

export interface DoubtsJob {
  readonly problem: ClothProblem;
  readonly rowYMm: Float64Array;
  readonly treatment: Treatment;
  readonly region: SolvedRegion;
  /** Picks per cm over the likeliest, [least, most]. */
  readonly picks: readonly [number, number];
}

/** How much a trial's figure has changed, in the measure that `SizeDoubts` has for it. */
function change(name: FigureName, now: number, before: number): number {
  return POINTS.has(name) ? now - before : now / before - 1;
}
const POINTS: ReadonlySet<FigureName> = new Set(['warpTakeUp', 'weftTakeUp', 'warpCover', 'weftCover', 'open']);

function floor(state: ClothState, name: FigureName, value: number): number {
  switch (name) {
    case 'width':
      return { onLoom: MODEL_DOUBT.loom, offLoom: MODEL_DOUBT.off, finished: MODEL_DOUBT.finished }[state];
    case 'length':
      return { onLoom: 0, offLoom: MODEL_DOUBT.off, finished: MODEL_DOUBT.finished }[state];
    case 'thickness':
      return GAUGE_DOUBT;
    case 'weight':
      return COUNT_DOUBT;
    case 'warpTakeUp':
    case 'weftTakeUp':
      return STIFFNESS_DOUBT * value;
    default:
      return COVER_DOUBT;
  }
}

const STATES = ['onLoom', 'offLoom', 'finished'] as const;

/** Tries each unknown for itself; their effects, taken as independent, add as squares. */
function* tryUnknowns(job: DoubtsJob): Generator<Progress, SizeDoubts> {
  const { problem, rowYMm, treatment, region, picks } = job;
  const memory: StatesMemory = {};
  const options = { treatment, region, windows: 1, windowSize: SMALL_WINDOW, memory };
  const [window] = chooseWindows(problem, region, spaceKinds(problem).kindOf, 1, SMALL_WINDOW);
  const base = figuresIn(problem, window, yield* settleStates(problem, rowYMm, options), memory);
  const squares = STATES.map((state) => mapFigures(base[state], (value, name) => floor(state, name, value) ** 2));
  const add = (tried: Record<ClothState, StateFigures>, but?: FigureName) => {
    STATES.forEach((state, k) => {
      squares[k] = mapFigures(squares[k], (sum, name) => {
        return name === but ? sum : sum + change(name, tried[state][name], base[state][name]) ** 2;
      });
    });
  };
  for (const unknown of STATE_UNKNOWNS) {
    const states = yield* settleStates(problem, rowYMm, { ...options, model: { ...STATE_MODEL, ...unknown } });
    add(figuresIn(problem, window, states, memory));
  }
  // The beat is tried on the side on which it has room: rows that jam go no closer.
  const closer = picks[1] - 1 > 1 - picks[0] ? picks[1] : picks[0];
  if (closer !== 1) {
    const y = rowYMm.map((mm) => mm / closer);
    add(figuresIn(problem, window, yield* settleStates(problem, y, options), memory), 'length');
  }
  const [onLoom, offLoom, finished] = squares.map((figures) => mapFigures(figures, Math.sqrt));
  return { onLoom, offLoom, finished };
}

function figuresIn(
  problem: ClothProblem,
  window: Window,
  states: ClothStates,
  { windows = [] }: StatesMemory,
): Record<ClothState, StateFigures> {
  const of = (state: ClothState) => {
    const settled = windows[0]?.[state];
    if (!settled) throw new Error(`doubts: nothing was settled ${state}`);
    return stateFigures(problem, window, states[state], settled);
  };
  return { onLoom: of('onLoom'), offLoom: of('offLoom'), finished: of('finished') };
}

function mapFigures(figures: StateFigures, value: (of: number, name: FigureName) => number): StateFigures {
  const names = Object.keys(figures) as FigureName[];
  return Object.fromEntries(names.map((name) => [name, value(figures[name], name)])) as unknown as StateFigures;
}

/** How far a cloth's figures may be off. */
export const sizeDoubts: Work<DoubtsJob, SizeDoubts> = { name: 'sizeDoubts', steps: tryUnknowns };
