import type { ClothProblem, CurveField, Progress, SolveResiduals } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { type KindPlan, planKinds } from '#engine/cloth/kinds/kindPlan.ts';
import type { KindWindow } from '#engine/cloth/kinds/kindWindows.ts';
import { inBands, paused } from '#engine/cloth/pauses.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { partLikes } from '#engine/cloth/sideways/partLikes.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import type { SidewaysSolution } from '#engine/cloth/sideways/solveSideways.ts';
import type { SolvedFields } from './fieldsAsBefore.ts';
import { regionProblem, type SolvedRegion } from './regionProblem.ts';
import { sectionFactors } from './sectionFactors.ts';

/** Smaller cloths are solved whole: windows would hold much of them. */
const LEAST_CROSSINGS = 600_000;

interface SettledWindow {
  heights?: HeightsSolution;
  sideways?: SidewaysSolution | null;
  readonly scratch: Scratch;
}

export interface KindsMemory {
  plan?: KindPlan;
  windows?: readonly SettledWindow[];
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
  const before = memory.windows ?? windows.map(() => ({ scratch: new Scratch() }));
  memory.windows = before;
  const known = new Float32Array(NUMBERS * standsFor.length);
  const kindsOfWindow = groupKinds(plan, ends);
  let residuals: SolveResiduals | undefined;
  for (const [number, window] of windows.entries()) {
    const progress: Progress = { stage: 'heights', share: 0.05 + (0.85 * number) / windows.length };
    const solving = solveWindow(problem, evenYMm, window, before[number], kindsOfWindow[number], plan, known);
    const worst = yield* paused(solving, progress);
    residuals = residuals ? worstOf(residuals, worst) : worst;
  }
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

function worstOf(a: SolveResiduals, b: SolveResiduals): SolveResiduals {
  return {
    iterations: Math.max(a.iterations, b.iterations),
    penetration: Math.max(a.penetration, b.penetration),
    forceImbalance: Math.max(a.forceImbalance, b.forceImbalance),
    complementarity: Math.max(a.complementarity, b.complementarity),
    converged: a.converged && b.converged,
  };
}

/** Solves a window and notes in `known` what its kinds are; slopes there times the space about the crossing. */
function* solveWindow(
  problem: ClothProblem,
  evenYMm: Float64Array,
  window: KindWindow,
  memory: SettledWindow,
  kinds: readonly number[],
  { standsFor }: KindPlan,
  known: Float32Array,
): Generator<void, SolveResiduals> {
  const { firstRow, firstEnd } = window;
  const part = clothRegion(problem, window);
  const region: SolvedRegion = { firstRow: 0, rows: part.rows, firstEnd: 0, ends: part.ends, boundary: 'mirrored' };
  const heights = regionProblem(part, region, evenYMm.subarray(firstRow, firstRow + part.rows));
  const sectionsOf = (solved: HeightsSolution) => sectionFactors(heights, part, solved);
  const { heights: start, sideways: startSideways = null, scratch } = memory;
  const threads = planThreads(part, region);
  const settling = settleThreads(heights, threads, sectionsOf, {
    quality: 'preview',
    scratch,
    ...(start ? { start, startSideways } : {}),
  });
  let step = settling.next();
  for (; !step.done; step = settling.next()) yield;
  const { solution, sideways } = step.value;
  memory.heights = solution;
  memory.sideways = sideways;
  const sections = yield* sectionsOf(solution);
  yield* partLikes(heights, solution, sections, threads, sideways);
  const lines = solution.onLines ?? solution;
  for (const kind of kinds) {
    const row = Math.floor(standsFor[kind] / problem.ends) - firstRow;
    const end = (standsFor[kind] % problem.ends) - firstEnd;
    const k = row * part.ends + end;
    const [x, y] = [spaceAbout(heights.endXMm, end), spaceAbout(heights.rowYMm, row)];
    let at = NUMBERS * kind;
    known[at++] = lines.warpHeightMm[k];
    known[at++] = lines.warpSlope[k] * y;
    known[at++] = sideways ? sideways.endOffsetMm[k] : 0;
    known[at++] = sideways ? sideways.endOffsetSlope[k] * y : 0;
    known[at++] = solution.warpWrapStartMm[k];
    known[at++] = solution.warpWrapEndMm[k];
    known[at++] = sections.warpWidth[k];
    known[at++] = sections.warpHeight[k];
    known[at++] = lines.weftHeightMm[k];
    known[at++] = lines.weftSlope[k] * x;
    known[at++] = sideways ? sideways.rowOffsetMm[k] : 0;
    known[at++] = sideways ? sideways.rowOffsetSlope[k] * x : 0;
    known[at++] = solution.weftWrapStartMm[k];
    known[at++] = solution.weftWrapEndMm[k];
    known[at++] = sections.weftWidth[k];
    known[at++] = sections.weftHeight[k];
  }
  return solution.residuals;
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
