import type { ClothProblem, CurveField, Progress, SolveResiduals } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { type KindPlan, planKinds } from '#engine/cloth/kinds/kindPlan.ts';
import type { KindWindow } from '#engine/cloth/kinds/kindWindows.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import type { SolvedFields } from './fieldsAsBefore.ts';
import type { SolvedRegion } from './regionProblem.ts';
import { type PartJob, type PartStart, type SolvedPart, solvePart } from './solvePart.ts';
import { worstOf } from './worstOf.ts';

/** Smaller cloths are solved whole: windows would hold much of them. */
const LEAST_CROSSINGS = 600_000;

export interface KindsMemory {
  plan?: KindPlan;
  /** What each of the plan's windows was when it was solved last. */
  windows?: (PartStart | undefined)[];
}

/** Numbers kept of a crossing: eight of its end, eight of its row. */
const NUMBERS = 16;
/** Of a family's eight, those that no space changes: all but the slopes. */
const PLAIN_NUMBERS = [0, 2, 4, 5, 6, 7];

/** Whether a cloth may be solved by kinds: large, without a repeat, every row right across. */
export function mayGoByKinds({ rows, ends, rowFirst, rowLast }: ClothProblem, region: SolvedRegion): boolean {
  return (
    region.boundary === 'mirrored' &&
    rows * ends >= LEAST_CROSSINGS &&
    rowFirst.every((first, row) => first === 0 && rowLast[row] === ends - 1)
  );
}

/** Mean space either side of a position. */
function spaceAbout(positionMm: ArrayLike<number>, k: number): number {
  const from = Math.max(0, k - 1);
  const to = Math.min(positionMm.length - 1, k + 1);
  const space = to > from ? (positionMm[to] - positionMm[from]) / (to - from) : 0;
  return space > 0 ? space : 1;
}

/**
 * Heights, offsets and sections of a large cloth for a preview: solved in windows that between them hold nearly every kind
 * of crossing, that is, its lifts and threads to six crossings about it; others take them from their like, and slopes by their own
 * spaces. Undefined where that would be no less work. Heights are within some hundredths of D of a full solve's.
 * @param evenYMm rows as the structure has them; these are solved for
 * @param rowYMm rows as drawn
 */
export function* fieldsByKinds(
  problem: ClothProblem,
  evenYMm: Float64Array,
  rowYMm: Float64Array,
  memory: KindsMemory,
  crew?: Crew,
): Generator<Progress, SolvedFields | undefined> {
  const { rows, ends } = problem;
  const plan = yield* paused(planKinds(problem, evenYMm, memory.plan), { stage: 'heights', share: 0.02 });
  if (plan !== memory.plan) {
    delete memory.windows;
    delete memory.plan;
    if (plan) memory.plan = plan;
  }
  if (!plan) return undefined;
  const { windows, kindOf, standsFor } = plan;
  memory.windows ??= windows.map(() => undefined);
  const before = memory.windows;
  const known = new Float32Array(NUMBERS * standsFor.length);
  const kindsOfWindow = groupKinds(plan, ends);
  let residuals: SolveResiduals | undefined;
  const take = (part: SolvedPart, k: number) => {
    before[k] = part.start;
    residuals = residuals ? worstOf(residuals, part.fields.residuals) : part.fields.residuals;
    noteKinds(problem, evenYMm, windows[k], part, kindsOfWindow[k], standsFor, known);
  };
  const jobs = windows.map((window, k) => () => windowJob(problem, evenYMm, window, before[k]));
  yield* together(crew, solvePart, jobs, take, (share) => ({ stage: 'heights', share: 0.05 + 0.85 * share }));
  const [warp, weft] = [emptyField(rows * ends), emptyField(rows * ends)];
  const perX = Float64Array.from({ length: ends }, (_, end) => 1 / spaceAbout(problem.endXMm, end));
  const laying = inBands(rows, ends, (from, to) => {
    for (let row = from; row < to; row++)
      layRow(warp, weft, known, kindOf, row, ends, 1 / spaceAbout(rowYMm, row), perX);
  });
  yield* paused(laying, { stage: 'sections', share: 0.5 });
  return residuals && { warp, weft, residuals };
}

function emptyField(size: number): CurveField {
  const field = () => new Float32Array(size);
  return {
    heightMm: field(),
    slope: field(),
    offsetMm: field(),
    offsetSlope: field(),
    wrapStartMm: field(),
    wrapEndMm: field(),
    widthFactor: field(),
    heightFactor: field(),
  };
}

/** Per window, the kinds for which a crossing of its inner part stands. */
function groupKinds({ windows, standsFor }: KindPlan, ends: number): number[][] {
  const groups: number[][] = windows.map(() => []);
  for (let kind = 0; kind < standsFor.length; kind++) {
    const row = Math.floor(standsFor[kind] / ends);
    const end = standsFor[kind] % ends;
    const number = windows.findIndex(
      ({ inner }) => row >= inner.firstRow && row <= inner.lastRow && end >= inner.firstEnd && end <= inner.lastEnd,
    );
    groups[number].push(kind);
  }
  return groups;
}

function windowJob(
  problem: ClothProblem,
  evenYMm: Float64Array,
  window: KindWindow,
  start: PartStart | undefined,
): PartJob {
  const part = clothRegion(problem, window);
  const rowYMm = evenYMm.slice(window.firstRow, window.firstRow + part.rows);
  return { problem: part, rowYMm, quality: 'preview', ...(start ? { start } : {}) };
}

/** Notes in `known` what the kinds are for which a solved window's crossings stand; slopes there times the space about the crossing. */
function noteKinds(
  problem: ClothProblem,
  evenYMm: Float64Array,
  { firstRow, lastRow, firstEnd, lastEnd }: KindWindow,
  { fields: { warp, weft } }: SolvedPart,
  kinds: readonly number[],
  standsFor: Int32Array,
  known: Float32Array,
): void {
  const y = evenYMm.subarray(firstRow, lastRow + 1);
  const x = problem.endXMm.subarray(firstEnd, lastEnd + 1);
  for (const kind of kinds) {
    const row = Math.floor(standsFor[kind] / problem.ends) - firstRow;
    const end = (standsFor[kind] % problem.ends) - firstEnd;
    const k = row * x.length + end;
    note(known, NUMBERS * kind, warp, k, spaceAbout(y, row));
    note(known, NUMBERS * kind + NUMBERS / 2, weft, k, spaceAbout(x, end));
  }
}

function note(known: Float32Array, at: number, field: CurveField, k: number, spaceMm: number): void {
  known[at] = field.heightMm[k];
  known[at + 1] = field.slope[k] * spaceMm;
  known[at + 2] = field.offsetMm[k];
  known[at + 3] = field.offsetSlope[k] * spaceMm;
  known[at + 4] = field.wrapStartMm[k];
  known[at + 5] = field.wrapEndMm[k];
  known[at + 6] = field.widthFactor[k];
  known[at + 7] = field.heightFactor[k];
}

function layRow(
  warp: CurveField,
  weft: CurveField,
  known: Float32Array,
  kindOf: Uint32Array,
  row: number,
  ends: number,
  perY: number,
  perX: Float64Array,
): void {
  const place = row * ends;
  const fields = [
    [warp.heightMm, warp.offsetMm, warp.wrapStartMm, warp.wrapEndMm, warp.widthFactor, warp.heightFactor],
    [weft.heightMm, weft.offsetMm, weft.wrapStartMm, weft.wrapEndMm, weft.widthFactor, weft.heightFactor],
  ] as const;
  // Field by field: one stream through memory at a time.
  fields.forEach((family, n) => {
    family.forEach((field, number) => {
      const from = 8 * n + PLAIN_NUMBERS[number];
      for (let end = 0; end < ends; end++) field[place + end] = known[NUMBERS * kindOf[place + end] + from];
    });
  });
  for (let end = 0, k = place; end < ends; end++, k++) {
    const at = NUMBERS * kindOf[k];
    warp.slope[k] = known[at + 1] * perY;
    warp.offsetSlope[k] = known[at + 3] * perY;
    weft.slope[k] = known[at + 9] * perX[end];
    weft.offsetSlope[k] = known[at + 11] * perX[end];
  }
}
