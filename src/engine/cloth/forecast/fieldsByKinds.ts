import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { KIND_NUMBERS, noteKind, perSpaces, spaceAbout } from '#engine/cloth/kinds/kindFields.ts';
import { type KindPlan, type KindPlanBegun, planKinds } from '#engine/cloth/kinds/kindPlan.ts';
import type { KindWindow } from '#engine/cloth/kinds/kindWindows.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import type { SolvedKinds } from './fieldsAsBefore.ts';
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

/** Whether a cloth may be solved by kinds: large, without a repeat, every row right across. */
export function mayGoByKinds({ rows, ends, rowFirst, rowLast }: ClothProblem, region: SolvedRegion): boolean {
  return (
    region.boundary === 'mirrored' &&
    rows * ends >= LEAST_CROSSINGS &&
    rowFirst.every((first, row) => first === 0 && rowLast[row] === ends - 1)
  );
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
): Generator<Progress, SolvedKinds | undefined> {
  const planned = yield* planKinds(problem, evenYMm, memory.plan, crew);
  let before = memory.windows;
  const parts: SolvedPart[] = [];
  const jobsFrom = (windows: readonly KindWindow[], first: number) =>
    windows.slice(first).map((window, k) => () => windowJob(problem, evenYMm, window, before?.[first + k]));
  const take = (part: SolvedPart) => {
    parts.push(part);
  };
  const progress = (share: number): Progress => ({ stage: 'heights', share: 0.05 + 0.85 * share });
  let plan = planned && !('complete' in planned) ? planned : undefined;
  // Of another cloth's windows nothing serves.
  if (!plan) before = undefined;
  // What stands for each kind is found while the windows are solved.
  const complete = function* (begun: KindPlanBegun): Generator<Progress, void> {
    plan = yield* begun.complete();
  };
  if (planned) {
    const meanwhile = 'complete' in planned ? complete(planned) : undefined;
    yield* together(crew, solvePart, jobsFrom(planned.windows, 0), take, progress, meanwhile);
  }
  delete memory.windows;
  delete memory.plan;
  if (!plan) return undefined;
  const { windows, bands, standsFor } = plan;
  yield* together(crew, solvePart, jobsFrom(windows, parts.length), take, progress);
  memory.plan = plan;
  memory.windows = parts.map(({ start }) => start);
  const known = new Float32Array(KIND_NUMBERS * standsFor.length);
  const kindsOfWindow = groupKinds(plan, problem.ends);
  parts.forEach((part, k) => {
    noteKinds(problem, evenYMm, windows[k], part, kindsOfWindow[k], standsFor, known);
  });
  const byKinds = { bands, known, perXMm: perSpaces(problem.endXMm), perYMm: perSpaces(rowYMm) };
  return { byKinds, residuals: parts.map(({ fields }) => fields.residuals).reduce(worstOf) };
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
    noteKind(known, KIND_NUMBERS * kind, warp, k, spaceAbout(y, row));
    noteKind(known, KIND_NUMBERS * (kind + 0.5), weft, k, spaceAbout(x, end));
  }
}
