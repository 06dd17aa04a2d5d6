import { inBands } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { CrossingOffsets, HeightsOnLines, HeightsProblem, HeightsSolution } from './heightsTypes.ts';

const at = { height: 0, slope: 0 };

/** The cubic Hermite curve over a span p, at x from its start (mm), into `at`. */
function hermite(p: number, x: number, z0: number, s0: number, z1: number, s1: number): void {
  const u = x / p;
  const v = 1 - u;
  at.height = v * v * (1 + 2 * u) * z0 + u * u * (3 - 2 * u) * z1 + x * v * (v * s0 - u * s1);
  at.slope = (6 * u * v * (z1 - z0)) / p + v * (1 - 3 * u) * s0 + u * (3 * u - 2) * s1;
}

/** Nodes of one thread, gathered so that a line beside its node is quickly found. */
interface Thread {
  count: number;
  readonly positionMm: Float64Array;
  readonly height: Float64Array;
  readonly slope: Float64Array;
}

/** A thread longer than its nodes by one on either side, for what lies beyond. */
function createThread(most: number): Thread {
  return {
    count: 0,
    positionMm: new Float64Array(most),
    height: new Float64Array(most),
    slope: new Float64Array(most),
  };
}

function add(thread: Thread, positionMm: number, height: number, slope: number): void {
  const k = thread.count++;
  thread.positionMm[k] = positionMm;
  thread.height[k] = height;
  thread.slope[k] = slope;
}

/** Height and slope of a thread at a place, into `at`; the search starts from node `near`. Level beyond its ends. */
function lookUp(thread: Thread, placeMm: number, near: number): void {
  const { count, positionMm, height, slope } = thread;
  let k = near;
  while (k > 0 && positionMm[k] > placeMm) k--;
  while (k + 1 < count && positionMm[k + 1] <= placeMm) k++;
  if (positionMm[k] > placeMm || k + 1 >= count) {
    at.height = height[k] + slope[k] * (placeMm - positionMm[k]);
    at.slope = slope[k];
    return;
  }
  const p = positionMm[k + 1] - positionMm[k];
  hermite(p, placeMm - positionMm[k], height[k], slope[k], height[k + 1], slope[k + 1]);
}

/**
 * Heights and slopes of threads whose crossings have moved along them, where they pass the lines of the grid. The curve
 * through the solved nodes is read off; between lines the cubic through what was read is drawn, which errs by less than
 * 0.15 of the crimp for a plain weave whose crossings have moved a quarter of a pitch (the wrap takes it up).
 */
export function* heightsOnLines(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  offsets: CrossingOffsets,
): Generator<void, HeightsOnLines> {
  const { rows, ends, levels } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const out: HeightsOnLines = {
    warpHeightMm: warpHeightMm.slice(),
    warpSlope: warpSlope.slice(),
    weftHeightMm: weftHeightMm.slice(),
    weftSlope: weftSlope.slice(),
  };
  if (levels === rows && grid.crossings === rows * ends) yield* ofWholeRows(problem, grid, solution, offsets, out);
  else yield* ofPartialRows(problem, grid, solution, offsets, out);
  return out;
}

/** Offsets below this share of the pitch leave heights as they are: by less than a thousandth of them. */
const LEAST_SHARE = 1e-3;

/** Every row runs right across: each line lies between its own crossing and the next or the last one, as a rule. */
function* ofWholeRows(
  problem: HeightsProblem,
  { rows, ends, levelYMm }: CrossingGrid,
  solution: HeightsSolution,
  { endOffsetMm, rowOffsetMm }: CrossingOffsets,
  out: HeightsOnLines,
): Generator<void, void> {
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const { endXMm, boundary, periodXMm = 0, periodYMm = 0 } = problem;
  const repeats = boundary === 'periodic';
  yield* inBands(rows, ends, (from, to) => {
    for (let j = from; j < to; j++) {
      for (let i = 0, n = j * ends; i < ends; i++, n++) {
        const up = rowOffsetMm[n];
        if (up !== 0) {
          // Its crossing lies beyond the line, so that the line lies in the span before it, and the other way round.
          const k = up > 0 ? j - 1 : j + 1;
          const wraps = k < 0 || k >= rows;
          if (!(wraps && !repeats)) {
            const other = wraps ? (up > 0 ? rows - 1 : 0) : k;
            const m = other * ends + i;
            const far =
              levelYMm[other] + (wraps ? (up > 0 ? -periodYMm : periodYMm) : 0) - levelYMm[j] + rowOffsetMm[m];
            if (Math.abs(up) > LEAST_SHARE * Math.abs(far - up)) {
              between(up, far, warpHeightMm[n], warpSlope[n], warpHeightMm[m], warpSlope[m]);
              out.warpHeightMm[n] = at.height;
              out.warpSlope[n] = at.slope;
            }
          }
        }
        const right = endOffsetMm[n];
        if (right === 0) continue;
        const k = right > 0 ? i - 1 : i + 1;
        const wraps = k < 0 || k >= ends;
        if (wraps && !repeats) continue;
        const other = wraps ? (right > 0 ? ends - 1 : 0) : k;
        const m = j * ends + other;
        const far = endXMm[other] + (wraps ? (right > 0 ? -periodXMm : periodXMm) : 0) - endXMm[i] + endOffsetMm[m];
        if (Math.abs(right) <= LEAST_SHARE * Math.abs(far - right)) continue;
        between(right, far, weftHeightMm[n], weftSlope[n], weftHeightMm[m], weftSlope[m]);
        out.weftHeightMm[n] = at.height;
        out.weftSlope[n] = at.slope;
      }
    }
  });
}

/** Where a thread passes its line at 0, its crossing at `near` and the one beyond the line at `far`. */
function between(near: number, far: number, z0: number, s0: number, z1: number, s1: number): void {
  // Past the other crossing (offsets stay within the room of one line, but two may lean the same way) it is taken there.
  if (near > 0 === far > 0) {
    at.height = z1 - s1 * far;
    at.slope = s1;
  } else if (near < 0) hermite(far - near, -near, z0, s0, z1, s1);
  else hermite(near - far, -far, z1, s1, z0, s0);
}

function* ofPartialRows(
  problem: HeightsProblem,
  { rows, ends, levels, levelOfRow, levelYMm, gap }: CrossingGrid,
  solution: HeightsSolution,
  { endOffsetMm, rowOffsetMm }: CrossingOffsets,
  out: HeightsOnLines,
): Generator<void, void> {
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const repeats = problem.boundary === 'periodic';
  const firstRow = new Int32Array(levels).fill(rows);
  for (let j = rows - 1; j >= 0; j--) firstRow[levelOfRow[j]] = j;
  const rowAt = (level: number, end: number) => {
    if (levels === rows) return level;
    for (let j = firstRow[level]; j < rows && levelOfRow[j] === level; j++) if (gap[j * ends + end] !== 0) return j;
    return -1;
  };
  const warp = createThread(levels + 2);
  yield* inBands(ends, levels, (from, to) => {
    for (let i = from; i < to; i++) {
      warp.count = 0;
      const node = (level: number, shiftMm: number) => {
        const j = rowAt(level, i);
        const k = (j < 0 ? firstRow[level] : j) * ends + i;
        const moved = j < 0 || gap[k] === 0 ? 0 : rowOffsetMm[k];
        add(warp, levelYMm[level] + shiftMm + moved, warpHeightMm[k], warpSlope[k]);
      };
      if (repeats) node(levels - 1, -problem.periodYMm!);
      for (let level = 0; level < levels; level++) node(level, 0);
      if (repeats) node(0, problem.periodYMm!);
      for (let j = 0; j < rows; j++) {
        const level = levelOfRow[j];
        lookUp(warp, levelYMm[level], level + (repeats ? 1 : 0));
        out.warpHeightMm[j * ends + i] = at.height;
        out.warpSlope[j * ends + i] = at.slope;
      }
    }
  });
  const weft = createThread(ends + 2);
  yield* inBands(rows, ends, (from, to) => {
    for (let j = from; j < to; j++) {
      const first = problem.rowFirst[j];
      const last = problem.rowLast[j];
      const whole = repeats && first === 0 && last === ends - 1;
      weft.count = 0;
      const node = (i: number, shiftMm: number) => {
        const k = j * ends + i;
        add(weft, problem.endXMm[i] + shiftMm + endOffsetMm[k], weftHeightMm[k], weftSlope[k]);
      };
      if (whole) node(ends - 1, -problem.periodXMm!);
      for (let i = first; i <= last; i++) node(i, 0);
      if (whole) node(0, problem.periodXMm!);
      for (let i = first; i <= last; i++) {
        lookUp(weft, problem.endXMm[i], i - first + (whole ? 1 : 0));
        out.weftHeightMm[j * ends + i] = at.height;
        out.weftSlope[j * ends + i] = at.slope;
      }
    }
  });
}
