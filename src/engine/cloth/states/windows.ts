import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { clothRegion } from '#engine/cloth/region.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import { GOLDEN } from '#engine/units/evenPlaces.ts';

/** A piece of the cloth whose spacing is settled by itself and stands for all of its kind. */
export interface Window {
  readonly problem: ClothProblem;
  readonly region: SolvedRegion;
  /** Row of the cloth that each row of `problem` is. */
  readonly rowOf: Uint32Array;
}

export interface WindowSize {
  readonly rows: number;
  readonly ends: number;
}

/** How much of the cloth's rows windows must speak for. */
const ENOUGH_SHARE = 0.97;
/** Share of ends that change side between rows is told apart in so many steps. */
const CHANGE_STEPS = 12;

/**
 * Kind of each space from a row to the next, numbered from 0: the two yarns and how many of the ends change side between.
 * Spaces of one kind lose the same share of themselves off the loom.
 */
export function spaceKinds(problem: ClothProblem): { readonly kindOf: Uint32Array; readonly kinds: number } {
  const { rows, rowYarn, drawdown, rowFirst, rowLast } = problem;
  const { bits, wordsPerRow } = drawdown;
  const numbers = new Map<string, number>();
  const kindOf = new Uint32Array(Math.max(0, rows - 1));
  for (let row = 0; row + 1 < rows; row++) {
    let changing = 0;
    for (let word = 0; word < wordsPerRow; word++)
      changing += popcount32(bits[row * wordsPerRow + word] ^ bits[(row + 1) * wordsPerRow + word]);
    const span = Math.max(1, rowLast[row] - rowFirst[row] + 1);
    const key = `${rowYarn[row]} ${rowYarn[row + 1]} ${Math.min(CHANGE_STEPS, Math.round((CHANGE_STEPS * changing) / span))}`;
    const known = numbers.get(key) ?? numbers.size;
    numbers.set(key, known);
    kindOf[row] = known;
  }
  return { kindOf, kinds: numbers.size };
}

/** The repeat, where the cloth has one and it is no larger than some windows are together; else windows. */
export function chooseWindows(
  problem: ClothProblem,
  region: SolvedRegion,
  kindOf: Uint32Array,
  most: number,
  size: WindowSize,
): Window[] {
  if (region.boundary === 'periodic' && region.rows * region.ends <= most * size.rows * size.ends) {
    return [{ problem, region, rowOf: Uint32Array.from({ length: problem.rows }, (_, row) => row) }];
  }
  if (problem.rows <= size.rows && problem.ends <= size.ends) return [windowAt(problem, 0, 0, size)];
  const counts = new Map<number, number>();
  for (const kind of kindOf) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  const windows: Window[] = [];
  const seen = new Set<number>();
  let spoken = 0;
  while (windows.length < most && spoken < ENOUGH_SHARE * kindOf.length) {
    let wanted = -1;
    for (const [kind, count] of counts) {
      if (!seen.has(kind) && (wanted < 0 || count > (counts.get(wanted) as number))) wanted = kind;
    }
    if (wanted < 0) break;
    const first = Math.max(0, Math.min(problem.rows - size.rows, middleOfKind(kindOf, wanted) - (size.rows >> 1)));
    const window = windowAt(problem, first, windows.length, size);
    windows.push(window);
    for (let k = first; k < Math.min(kindOf.length, first + size.rows - 1); k++) {
      if (seen.has(kindOf[k])) continue;
      seen.add(kindOf[k]);
      spoken += counts.get(kindOf[k]) as number;
    }
    seen.add(wanted);
  }
  return windows;
}

/** Middle of the longest run in which a kind comes at least every fourth space. */
function middleOfKind(kindOf: Uint32Array, kind: number): number {
  let best = { from: 0, count: 0, to: 0 };
  let run = { from: 0, count: 0, to: -Infinity };
  for (let k = 0; k < kindOf.length; k++) {
    if (kindOf[k] !== kind) continue;
    run = k - run.to <= 4 ? { from: run.from, count: run.count + 1, to: k } : { from: k, count: 1, to: k };
    if (run.count > best.count) best = run;
  }
  return Math.floor((best.from + best.to) / 2);
}

function windowAt(problem: ClothProblem, firstRow: number, number: number, size: WindowSize): Window {
  const rows = Math.min(size.rows, problem.rows - firstRow);
  const ends = Math.min(size.ends, problem.ends);
  const middle = firstRow + (rows >> 1);
  // Where rows do not run right across, the window lies where its middle row does.
  const from = problem.rowFirst[middle];
  const room = Math.max(0, problem.rowLast[middle] + 1 - ends - from);
  const firstEnd = Math.min(problem.ends - ends, from + Math.floor(room * ((0.5 + number * GOLDEN) % 1)));
  const lastEnd = firstEnd + ends - 1;
  const rowOf: number[] = [];
  for (let row = firstRow; row < firstRow + rows; row++) {
    if (problem.rowFirst[row] <= lastEnd && problem.rowLast[row] >= firstEnd) rowOf.push(row);
  }
  const part = clothRegion(problem, { firstRow, lastRow: firstRow + rows - 1, firstEnd, lastEnd });
  return {
    problem: part,
    region: { firstRow: 0, rows: part.rows, firstEnd: 0, ends: part.ends, boundary: 'mirrored' },
    rowOf: Uint32Array.from(rowOf),
  };
}
