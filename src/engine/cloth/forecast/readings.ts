import { clothStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { curveLength } from '#engine/cloth/curve.ts';
import { measuredRows, rowStart } from '#engine/cloth/heldCrossings.ts';
import type { EdgeTails } from '#engine/cloth/hold/edgeTails.ts';
import type { HeldWeft } from '#engine/cloth/hold/holdOfWefts.ts';
import type { Ripple } from '#engine/cloth/hold/ripple.ts';
import type { Curls, Pucker } from '#engine/cloth/hold/tendencies.ts';
import type { Uncertain } from '#engine/cloth/hold/uncertain.ts';
import type { BehindCloth } from '#engine/cloth/placed/backFloats.ts';
import type { Join } from '#engine/cloth/placed/joins.ts';
import { endLengthFactors } from '#engine/cloth/quantities/endLengths.ts';
import type { Crowding } from '#engine/cloth/reed/crowding.ts';
import type { Relief } from '#engine/cloth/relief/layRelief.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import { firmnessOfResistance } from '#engine/cloth/spacing/beatLaw.ts';
import { type Hold, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type ClothOutlines, type ClothSizes, lengthAround } from '#engine/cloth/states/clothSizes.ts';
import type { TakeUp } from '#engine/cloth/states/clothStates.ts';
import type { StateFigures } from '#engine/cloth/states/stateFigures.ts';
import { around, exactly, type Reading, shareAround } from '#engine/units/reading.ts';
import { type Cover, sampleCover } from './cover.ts';
import { clothThickness } from './thickness.ts';

export interface Readings {
  readonly picksPerCm: Reading;
  readonly endsPerCm: Reading;
  /** Between the outermost ends' edges, and along the warp, in the state asked for. */
  readonly widthMm: Reading;
  readonly lengthMm: Reading;
  readonly thicknessMm: Reading;
  readonly weightGPerM2: Reading;
  /** Bending stiffness along the warp and across it, N mm² a mm of cloth: the threads' own. */
  readonly stiffnessNmm: { readonly along: Reading; readonly across: Reading };
  /** Shares of each face, seen square-on, that are warp, weft and open; they add up to 1. */
  readonly face: Cover;
  readonly back: Cover;
  /** By how many points these shares may be off; of a settled forecast. */
  readonly coverDoubt?: Cover;
  /** Extra length of the thread over the cloth, as a share of the thread (take-up). */
  readonly warpTakeUp: Reading;
  readonly weftTakeUp: Reading;
  /** Of each end, its length over the cloth that it weaves; for beams. */
  readonly endLengthFactor?: Float32Array;
  /** How each weft keeps in the cloth off the loom. */
  readonly hold?: readonly HeldWeft[];
  /** How it would roll, lying free off the loom. */
  readonly curls?: Curls;
  /** Stripes of the warp that come slack. */
  readonly pucker?: Pucker;
  /** What the ranges do not hold: threads that curve, yarns that draw the cloth together. */
  readonly uncertain?: Uncertain;
  /** Ends closer than they are wide. */
  readonly crowding?: Crowding;
  /** Waves in which the slack stripes lie once nothing pulls on them. */
  readonly ripple?: Ripple;
  /** Tails that were laid back into the edges. */
  readonly edgeTails?: EdgeTails;
  /** Mean crimp that a thread drawn out of the finished cloth keeps; left out where nothing has set. */
  readonly setCrimp?: { readonly warp: number; readonly weft: number };
  /** Where wefts placed by hand meet, from below; left out where none do. */
  readonly joins?: readonly Join[];
  /** What goes on behind the cloth; left out where nothing does. */
  readonly behind?: BehindCloth;
  /** Of a cloth with pockets between two layers. */
  readonly relief?: Relief;
  /** In all states; of a settled forecast. */
  readonly sizes?: ClothSizes;
  /** Of the yarn as it was laid on the loom, whatever state is read. */
  readonly laidTakeUp?: Readonly<Record<keyof TakeUp, Reading>>;
  readonly outlines?: ClothOutlines;
  /** Beat needed, where picks per cm were fixed. */
  readonly firmnessNeeded?: number;
}

/** Tension, friction and stiffness are known to within this factor at best, and so is the resistance to a beat. */
export const RESISTANCE_DOUBT = 1.4;

/** How closely a cloth is looked at for its readings. */
export interface Closeness {
  /** Points at which cover is read; shares are within about 1/√points. */
  readonly coverPoints: number;
  /** Segments of each system whose length is measured. */
  readonly segments: number;
  /** Segments of warp measured for the ends' own lengths. */
  readonly endSegments: number;
  /** Crossings whose surfaces are looked at for the thickness, at most. */
  readonly crossings: number;
}

/** Take-up of both systems and weight of the cloth, from the solved curves of evenly chosen rows. */
function threads(problem: ClothProblem, geometry: ClothGeometry, segments: number) {
  const { rows, ends, periodEnds, endXMm, rowYMm } = geometry;
  const share = Math.min(1, segments / (rows * ends));
  const sum = { warpMm: 0, warpSpanMm: 0, warpTexMm: 0, weftMm: 0, weftSpanMm: 0, weftTexMm: 0, weftRowsMm: 0 };
  let weftTotalMm = 0;
  const spanOf = (row: number) => endXMm[problem.rowLast[row]] - endXMm[problem.rowFirst[row]];
  for (let row = 0; row < rows; row++) weftTotalMm += spanOf(row);
  for (const row of measuredRows(geometry, share)) {
    const rowSpanMm = spanOf(row);
    const here = rowStart(geometry, row);
    const above = row + 1 < rows ? rowStart(geometry, row + 1) : here;
    const weftTex = problem.yarns[problem.rowYarn[row]].tex;
    const stepMm = row + 1 < rows ? rowYMm[row + 1] - rowYMm[row] : 0;
    sum.weftRowsMm += rowSpanMm;
    for (let end = 0; end < ends; end++) {
      const column = end % periodEnds;
      if (stepMm > 0) {
        const length = curveLength(geometry.warp, here + column, above + column, stepMm);
        sum.warpMm += length;
        sum.warpSpanMm += stepMm;
        sum.warpTexMm += length * problem.yarns[problem.endYarn[end]].tex;
      }
      if (end + 1 < ends && end >= problem.rowFirst[row] && end < problem.rowLast[row]) {
        const pitchMm = endXMm[end + 1] - endXMm[end];
        const length = curveLength(geometry.weft, here + column, here + ((end + 1) % periodEnds), pitchMm);
        sum.weftMm += length;
        sum.weftSpanMm += pitchMm;
        sum.weftTexMm += length * weftTex;
      }
    }
  }
  const spanXMm = endXMm[ends - 1] - endXMm[0];
  const spanYMm = rowYMm[rows - 1] - rowYMm[0];
  const warpTexMm = sum.warpTexMm * ((spanYMm * ends) / sum.warpSpanMm);
  const weftTexMm = sum.weftTexMm * (weftTotalMm / sum.weftRowsMm);
  return {
    warpTakeUp: 1 - sum.warpSpanMm / sum.warpMm,
    weftTakeUp: 1 - sum.weftSpanMm / sum.weftMm,
    // tex is g/km, so tex·mm over mm² is g/m².
    weightGPerM2: (warpTexMm + weftTexMm) / (spanXMm * spanYMm),
  };
}

/** Picks per cm if every beat met `factor` times the resistance. */
function picksPerCmAt(problem: ClothProblem, holds: readonly Hold[], factor: number): number {
  const shift = firmnessOfResistance(factor) - firmnessOfResistance(1);
  const firmness = problem.beat.firmness.map((f) => f - shift);
  const { fixedPicksPerCm: _, ...beat } = problem.beat;
  const { rowYMm } = rowPositions({ ...problem, beat: { ...beat, firmness } }, false, holds);
  return 1 / rowYMm[problem.rows - 1];
}

/** Picks per cm over the likeliest, [least, most], for what is not known of the beat's resistance. */
export function picksRange(
  problem: ClothProblem,
  rowYMm: Float64Array,
  holds: readonly Hold[],
): readonly [number, number] {
  if (problem.beat.fixedPicksPerCm !== undefined || problem.rows < 2) return [1, 1];
  const likeliest = 1 / rowYMm[problem.rows - 1];
  const doubt = problem.beat.resistanceDoubt ?? RESISTANCE_DOUBT;
  const least = picksPerCmAt(problem, holds, doubt) / likeliest;
  const most = picksPerCmAt(problem, holds, 1 / doubt) / likeliest;
  return [Math.min(1, least), Math.max(1, most)];
}

/**
 * Everything that is read off the cloth in one state, with the doubt of the beat alone. A cloth of one row or one end has no
 * spacing to read.
 * @param problem as it is in that state
 * @param picks per cm over the likeliest, [least, most]
 * Pauses now and then.
 */
export function* takeReadings(
  problem: ClothProblem,
  geometry: ClothGeometry,
  firmnessNeeded: number | undefined,
  [fewest, most]: readonly [number, number],
  closeness: Closeness,
): Generator<void, Readings> {
  const { rows, ends, endXMm, rowYMm } = geometry;
  const spanXMm = endXMm[ends - 1] - endXMm[0];
  const spanYMm = rowYMm[rows - 1] - rowYMm[0];
  const picks = problem.rowPick[rows - 1] - problem.rowPick[0];
  const picksPerCm = (10 * picks) / spanYMm;
  const { spanMm, pitchMm } = endSpan(problem);
  // The same ends, as this geometry has narrowed them.
  const narrowing = spanXMm / (problem.endXMm[ends - 1] - problem.endXMm[0]);
  const pitchYMm = spanYMm / Math.max(1, picks);
  const low = picksPerCm * fewest;
  const high = picksPerCm * most;
  const thread = threads(problem, geometry, closeness.segments);
  yield;
  const lengthMm = spanYMm + pitchYMm;
  const thicknessMm = yield* clothThickness(problem, geometry, closeness.crossings);
  yield;
  const cover = yield* sampleCover(problem, geometry, closeness.coverPoints);
  return {
    picksPerCm: { value: picksPerCm, low, high },
    endsPerCm: exactly(10 / (pitchMm * narrowing)),
    widthMm: exactly((spanMm + pitchMm) * narrowing),
    lengthMm: { value: lengthMm, low: (lengthMm * picksPerCm) / high, high: (lengthMm * picksPerCm) / low },
    thicknessMm: exactly(thicknessMm),
    weightGPerM2: exactly(thread.weightGPerM2),
    stiffnessNmm: clothStiffnessNmm(
      problem,
      { widthMm: (spanMm + pitchMm) * narrowing, lengthMm },
      { warp: thread.warpTakeUp, weft: thread.weftTakeUp },
    ),
    ...cover,
    warpTakeUp: exactly(thread.warpTakeUp),
    weftTakeUp: exactly(thread.weftTakeUp),
    endLengthFactor: endLengthFactors(problem, geometry, closeness.endSegments),
    ...(firmnessNeeded === undefined ? {} : { firmnessNeeded }),
  };
}

/** The same readings with all that is not known of the state that they are taken in. */
export function withDoubts(readings: Readings, doubts: StateFigures, picks: readonly [number, number]): Readings {
  const { picksPerCm, endsPerCm, widthMm, lengthMm, thicknessMm, weightGPerM2, warpTakeUp, weftTakeUp } = readings;
  const length = lengthAround(lengthMm.value, doubts.length, picks);
  return {
    ...readings,
    picksPerCm: {
      value: picksPerCm.value,
      low: (picksPerCm.value * length.value) / length.high,
      high: (picksPerCm.value * length.value) / length.low,
    },
    endsPerCm: around(endsPerCm.value, doubts.width),
    widthMm: around(widthMm.value, doubts.width),
    lengthMm: length,
    thicknessMm: around(thicknessMm.value, doubts.thickness),
    weightGPerM2: around(weightGPerM2.value, doubts.weight),
    warpTakeUp: shareAround(warpTakeUp.value, doubts.warpTakeUp),
    weftTakeUp: shareAround(weftTakeUp.value, doubts.weftTakeUp),
    coverDoubt: { warp: doubts.warpCover, weft: doubts.weftCover, open: doubts.open },
  };
}
