import type { ClothProblem, CurveField, KindFields, SolveResiduals } from '#engine/cloth/clothTypes.ts';
import { perSpaces } from '#engine/cloth/kinds/kindFields.ts';
import { inBands } from '#engine/cloth/pauses.ts';
import { sameValues } from '#engine/units/sameValues.ts';
import { mechanicalKey } from './mechanicalPeriod.ts';
import type { SolvedRegion } from './regionProblem.ts';

/**
 * Most that a space may have changed, as a share, for heights to be taken as they were: they then move by less than a
 * twentieth of D, what a preview may err by.
 */
const MOST_CHANGE = 0.08;
/** The same of a tension. */
const MOST_TENSION_CHANGE = 0.3;

export interface SolvedFields {
  readonly warp: CurveField;
  readonly weft: CurveField;
  readonly residuals: SolveResiduals;
}

/** What is known of a cloth by kinds of crossing. */
export interface SolvedKinds {
  readonly byKinds: KindFields;
  readonly residuals: SolveResiduals;
}

/** Fields as they were solved, and for what. */
export interface FieldsBefore {
  readonly fields: SolvedFields | SolvedKinds;
  readonly region: SolvedRegion;
  readonly bits: Uint32Array;
  readonly threads: string;
  readonly endXMm: Float64Array;
  /** Rows for which they were solved. */
  readonly rowYMm: Float64Array;
  readonly endTensionN: Float64Array;
  readonly rowTensionN: Float64Array;
}

function threadsOf({ yarns, endYarn, rowYarn, rowFirst, rowLast }: ClothProblem): string {
  return [yarns.map(mechanicalKey).join('|'), endYarn, rowYarn, rowFirst, rowLast].join(';');
}

/** Whether all spaces of two orders are within a share of one another. */
function likeSpaces(a: Float64Array, b: Float64Array, from: number, to: number): boolean {
  for (let k = from + 1; k < to; k++) {
    const before = a[k] - a[k - 1];
    if (Math.abs(b[k] - b[k - 1] - before) > MOST_CHANGE * before) return false;
  }
  return true;
}

function likeTensions(a: Float64Array, b: Float64Array): boolean {
  return a.every((tension, k) => Math.abs(b[k] - tension) <= MOST_TENSION_CHANGE * tension);
}

export function keepFields(
  problem: ClothProblem,
  region: SolvedRegion,
  rowYMm: Float64Array,
  fields: SolvedFields | SolvedKinds,
): FieldsBefore {
  const { drawdown, endXMm, endTensionN, rowTensionN } = problem;
  return { fields, region, bits: drawdown.bits, threads: threadsOf(problem), endXMm, rowYMm, endTensionN, rowTensionN };
}

/** Mean space either side of each of `count` positions from `first` on. */
function spacesAbout(positionMm: Float64Array, first: number, count: number): Float64Array {
  return Float64Array.from({ length: count }, (_, k) => {
    const from = Math.max(0, first + k - 1);
    const to = Math.min(positionMm.length - 1, first + k + 1);
    return to > from ? (positionMm[to] - positionMm[from]) / (to - from) : 0;
  });
}

/** By how much slopes change where positions do: spaces as they were over spaces as they are. */
function slopeFactors(before: Float64Array, now: Float64Array, first: number, count: number): Float64Array {
  const was = spacesAbout(before, first, count);
  const is = spacesAbout(now, first, count);
  return was.map((space, k) => (space > 0 && is[k] > 0 ? space / is[k] : 1));
}

/**
 * Fields of a cloth that differs from a solved one by its spaces and tensions alone, and by little: heights as they were,
 * slopes by the spaces. For previews of another beat. Undefined where more has changed. Pauses now and then.
 */
export function* fieldsAsBefore(
  problem: ClothProblem,
  region: SolvedRegion,
  rowYMm: Float64Array,
  before: FieldsBefore | undefined,
): Generator<void, SolvedFields | SolvedKinds | undefined> {
  if (!before) return undefined;
  const { firstRow, rows, firstEnd, ends } = region;
  const was = before.region;
  if (was.rows !== rows || was.ends !== ends || was.firstRow !== firstRow || was.boundary !== region.boundary)
    return undefined;
  if (
    !likeSpaces(before.rowYMm, rowYMm, firstRow, firstRow + rows) ||
    !likeSpaces(before.endXMm, problem.endXMm, firstEnd, firstEnd + ends) ||
    !likeTensions(before.endTensionN, problem.endTensionN) ||
    !likeTensions(before.rowTensionN, problem.rowTensionN) ||
    !sameValues(before.bits, problem.drawdown.bits) ||
    before.threads !== threadsOf(problem)
  )
    return undefined;
  yield;
  if ('byKinds' in before.fields) {
    const { byKinds, residuals } = before.fields;
    const spaces = { perXMm: perSpaces(problem.endXMm), perYMm: perSpaces(rowYMm) };
    return { byKinds: { ...byKinds, ...spaces }, residuals };
  }
  const perY = slopeFactors(before.rowYMm, rowYMm, firstRow, rows);
  const perX = slopeFactors(before.endXMm, problem.endXMm, firstEnd, ends);
  const { warp, weft, residuals } = before.fields;
  return { warp: yield* sloped(warp, perY, null), weft: yield* sloped(weft, null, perX), residuals };

  function* sloped(
    field: CurveField,
    byRow: Float64Array | null,
    byEnd: Float64Array | null,
  ): Generator<void, CurveField> {
    if ((byRow ?? byEnd)?.every((factor) => factor === 1)) return field;
    const slope = new Float32Array(field.slope.length);
    const moves = field.offsetSlope.some((value) => value !== 0);
    const offsetSlope = moves ? new Float32Array(slope.length) : field.offsetSlope;
    yield* inBands(rows, ends, (from, to) => {
      for (let row = from; row < to; row++) {
        for (let end = 0, k = row * ends; end < ends; end++, k++) {
          const factor = byRow ? byRow[row] : byEnd ? byEnd[end] : 1;
          slope[k] = field.slope[k] * factor;
          if (moves) offsetSlope[k] = field.offsetSlope[k] * factor;
        }
      }
    });
    return { ...field, slope, offsetSlope };
  }
}
