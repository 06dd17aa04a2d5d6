import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { Beside, type Crew } from '#engine/cloth/crew.ts';
import { edgeTails } from '#engine/cloth/hold/edgeTails.ts';
import { holdOfWefts } from '#engine/cloth/hold/holdOfWefts.ts';
import { layRipple } from '#engine/cloth/hold/ripple.ts';
import { curlsOf, puckerOf } from '#engine/cloth/hold/tendencies.ts';
import { uncertainOf } from '#engine/cloth/hold/uncertain.ts';
import { paused } from '#engine/cloth/pauses.ts';
import { behindCloth } from '#engine/cloth/placed/backFloats.ts';
import { joinsOf } from '#engine/cloth/placed/joins.ts';
import { crowdedEnds, crowdingOf, squeezeOf } from '#engine/cloth/reed/crowding.ts';
import { hasPillows, pillows } from '#engine/cloth/relief/pillows.ts';
import { type HoldsMemory, holdsAsBefore } from '#engine/cloth/spacing/holdsAsBefore.ts';
import { type RowPositions, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { clothOutlines, clothSizes } from '#engine/cloth/states/clothSizes.ts';
import { type StatesMemory, settleStates } from '#engine/cloth/states/clothStates.ts';
import { setCrimp } from '#engine/cloth/states/setCrimp.ts';
import { sizeDoubts } from '#engine/cloth/states/sizeDoubts.ts';
import { type ClothState, problemInState, rowsInState } from '#engine/cloth/states/stateTypes.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import { shareAround } from '#engine/units/reading.ts';
import { clothGeometry, type GeometryMemory } from './clothGeometry.ts';
import { type Closeness, picksRange, type Readings, takeReadings, withDoubts } from './readings.ts';
import { chooseRegion } from './regionProblem.ts';
import { unevenGeometry } from './unevenThreads.ts';

export type Quality = 'preview' | 'settled';

/** In which state the cloth is wanted, and how it is finished. */
export interface StateWanted {
  readonly state: ClothState;
  readonly treatment: Treatment;
  /** Whether the fields have to hold all crossings, of however large a cloth: to be cut or bent. */
  readonly whole?: boolean;
}

export interface Forecast {
  /** The problem as it is in the state: where ends lie, and what the yarns have become. */
  readonly problem: ClothProblem;
  readonly geometry: ClothGeometry;
  readonly readings: Readings;
}

/** Shares of cover to about 0.02 and 0.005; take-up to about a hundredth and a thousandth of itself. */
const CLOSENESS: Record<Quality, Closeness> = {
  preview: { coverPoints: 2_000, segments: 4_000, endSegments: 20_000, crossings: 40_000 },
  settled: { coverPoints: 60_000, segments: 40_000, endSegments: 200_000, crossings: 1_000_000 },
};

/** Windows on a cloth without a repeat. */
const WINDOWS = {
  preview: { windows: 1, windowSize: { rows: 24, ends: 24 } },
  settled: { windows: 6, windowSize: { rows: 36, ends: 40 } },
} as const;

/** What a repeated forecast may start from. */
export interface ForecastMemory extends GeometryMemory, HoldsMemory {
  states?: Record<Quality, StatesMemory>;
}

const ON_LOOM: StateWanted = { state: 'onLoom', treatment: 'none' };

/**
 * From threads and beat to the cloth on the loom, off it or finished: pick spacing, the state's own spacing both ways,
 * heights of both systems, sections, readings. Structure, spacing and heights are solved for one repeat where the cloth
 * has one; the weaver's unevenness then moves the picks, and the yarns' their widths.
 * @param memory kept by the caller between forecasts of one sample; makes small changes quick
 * @param crew threads that share the work, where there are any
 * @param ready told of a cloth known by kinds of crossing before it is read: nothing about it changes any more
 * @throws ClothError where the cloth cannot be
 */
export function* forecastCloth(
  problem: ClothProblem,
  quality: Quality,
  memory: ForecastMemory = {},
  wanted: StateWanted = ON_LOOM,
  crew?: Crew,
  ready?: (problem: ClothProblem, geometry: ClothGeometry) => void,
): Generator<Progress, Forecast> {
  const beside = new Beside(crew);
  try {
    return yield* forecastBeside(problem, quality, memory, wanted, beside, ready);
  } finally {
    beside.stop();
  }
}

function* forecastBeside(
  problem: ClothProblem,
  quality: Quality,
  memory: ForecastMemory,
  { state, treatment, whole }: StateWanted,
  beside: Beside,
  ready: ((problem: ClothProblem, geometry: ClothGeometry) => void) | undefined,
): Generator<Progress, Forecast> {
  const { crew } = beside;
  yield { stage: 'spacing', share: 0 };
  const holds = holdsAsBefore(problem, memory);
  const even = rowPositions(problem, false, holds);
  const uneven: RowPositions =
    problem.beat.scatterShare > 0 || problem.beat.tensionLeft ? rowPositions(problem, true, holds) : even;
  yield { stage: 'spacing', share: 1 };

  const preview = quality === 'preview';
  const region = chooseRegion(problem);
  const picks = picksRange(problem, even.rowYMm, holds);
  const asked = { problem, rowYMm: even.rowYMm, treatment, region, picks };
  const doubts = preview ? undefined : beside.begin(sizeDoubts, asked);
  memory.states ??= { preview: {}, settled: {} };
  const options = {
    treatment,
    region,
    ...WINDOWS[quality],
    memory: memory.states[quality],
    ...(crew ? { crew } : {}),
    ...(preview ? { upTo: state } : {}),
  };
  const states = yield* settleStates(problem, even.rowYMm, options);
  const spacing = states[state];
  const inState = problemInState(problem, spacing);
  const crowded = crowdedEnds(inState, region.firstRow, region.rows);
  const there = crowded ? { ...inState, endSqueeze: crowded.map(squeezeOf) } : inState;
  const crowding = crowdingOf(inState, crowded);
  const unevenYMm = rowsInState(uneven.rowYMm, spacing);
  const solvedYMm = region.boundary === 'periodic' ? spacing.rowYMm : unevenYMm;
  const places = { evenYMm: spacing.rowYMm, solvedYMm, drawnYMm: unevenYMm };
  const loom = state === 'onLoom';
  // On the loom the weft is taut between the edges unless it was laid in an arc; a second beam has something over.
  const over = {
    weft: loom && !problem.weftSlackShare ? new Float64Array(problem.rows) : spacing.weftOver,
    warp: spacing.warpOver,
  };
  // Off the loom it is asked how every thread holds; fibre and tails turned in are looked up anywhere.
  const all = whole || !loom || there.rowTails !== undefined || hasPillows(there);
  const { geometry: woven, relief } = yield* clothGeometry(there, region, places, quality, memory, over, all, crew);
  const { periodRows, periodEnds } = woven;
  const geometry = { ...woven, weft: pillows(there, woven.weft, periodRows, periodEnds) };
  if (geometry.byKinds) ready?.(there, geometry);

  yield { stage: 'readings', share: 0 };
  const reading = takeReadings(there, geometry, uneven.firmnessNeeded, picks, CLOSENESS[quality]);
  const taken = yield* paused(reading, { stage: 'readings', share: 0.5 });
  const drawn = yield* paused(unevenGeometry(there, geometry), { stage: 'readings', share: 0.7 });
  // Pockets take up what their layers have over.
  const rippled = relief && relief.pockets > 0 ? undefined : layRipple(there, drawn, over.warp);
  const lengthOf = (end: number) => (taken.endLengthFactor?.[end] ?? 1) * (1 + (there.endSlackShare?.[end] ?? 0));
  const pucker = puckerOf(geometry, over.warp, loom ? lengthOf : undefined);
  const tails = edgeTails(there);
  const set = setCrimp(there, { warp: taken.warpTakeUp.value, weft: taken.weftTakeUp.value });
  const joins = joinsOf(there, geometry);
  const behind = behindCloth(there, geometry);
  const uncertain = uncertainOf(there, geometry);
  const read: Readings = {
    ...taken,
    ...(relief ? { relief } : {}),
    ...(pucker ? { pucker } : {}),
    ...(rippled ? { ripple: rippled.ripple } : {}),
    ...(tails ? { edgeTails: tails } : {}),
    ...(set ? { setCrimp: set } : {}),
    ...(joins.length > 0 ? { joins } : {}),
    ...(behind ? { behind } : {}),
    ...(uncertain ? { uncertain } : {}),
    ...(crowding ? { crowding } : {}),
    ...(loom
      ? {}
      : {
          hold: holdOfWefts(there, geometry, state === 'finished' ? treatment : undefined),
          curls: curlsOf(there, geometry),
        }),
  };
  const geometryRead = rippled?.geometry ?? drawn;
  if (!doubts) return { problem: there, geometry: geometryRead, readings: read };
  const known = yield* doubts({ stage: 'readings', share: 0.9 });
  const { warp, weft } = states.laidTakeUp;
  const readings: Readings = {
    ...withDoubts(read, known[state], picks),
    outlines: clothOutlines(problem, states),
    laidTakeUp: {
      warp: shareAround(warp, known.onLoom.warpTakeUp),
      weft: shareAround(weft, known.onLoom.weftTakeUp),
    },
    sizes: clothSizes(problem, states, known, picks),
  };
  return { problem: there, geometry: geometryRead, readings };
}
