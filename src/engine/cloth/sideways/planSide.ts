import { type BeamFamily, buildBeamFamily } from '#engine/cloth/heights/beamFamily.ts';
import { assignLevels } from '#engine/cloth/heights/crossingGrid.ts';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';

/** What of threads matters in plan and not for their heights; per end and per row. */
export interface PlanThreads {
  /** Bending stiffness within the cloth plane, N mm². */
  readonly endBendingNmm2: Float64Array;
  readonly rowBendingNmm2: Float64Array;
  /** Contact section, mm; factors at the nodes multiply it. */
  readonly endContactWidthMm: Float64Array;
  readonly rowContactWidthMm: Float64Array;
  /** Force that would press a thread's whole width together from the side, were the law linear, N. */
  readonly endStiffnessN: Float64Array;
  readonly rowStiffnessN: Float64Array;
}

/**
 * All ends, or all rows, in plan. Fields have a node for every line that a thread crosses: index = line · alongStep +
 * thread · threadStep.
 */
export interface PlanSide {
  readonly warp: boolean;
  readonly threads: number;
  readonly lines: number;
  readonly threadStep: number;
  readonly alongStep: number;
  /** First and last line of each thread. */
  readonly first: Uint32Array;
  readonly last: Uint32Array;
  readonly lineMm: Float64Array;
  /** Thread that lies beside each one, to the right or above, on its own layer; −1 where none does. */
  readonly next: Int32Array;
  /** Distance to it as the reed or the beat laid them, mm. */
  readonly restMm: Float64Array;
  readonly stiffnessN: Float64Array;
  readonly contactWidthMm: Float64Array;
  readonly halfHeightMm: Float64Array;
  /** How far a thread may lie before and beyond its line, mm: curves are drawn from line to line. */
  readonly beforeMm: Float64Array;
  readonly beyondMm: Float64Array;
  /** Of a cloth solved whole, the outermost threads stay: the cloth is reflected in them. */
  readonly fixed: Uint8Array;
  readonly family: BeamFamily;
  /** Repeat along and across, mm; 0 where the cloth is solved whole. */
  readonly periodAlongMm: number;
  readonly periodAcrossMm: number;
  /** Index of a node in the solution's fields (rows × ends); null where it is the same. */
  readonly solved: Int32Array | null;
}

/** How many threads further on one of the same layer is looked for: four layers. */
const LAYERS = 4;
/** Share of the room between two lines that a thread may cross: past it the drawn curves lose the crossing. */
const ROOM_SHARE = 0.6;
/** Nearly nothing: threads in plan are held by friction and each other, not by a bed. */
export const PLAN_CONFINEMENT = 1e-4;

/**
 * Whether one of two threads lies over the other wherever their lifts differ, so that it can ride over it. Threads of two
 * layers do, and floats beside threads that interlace more.
 */
function slides(lifts: (thread: number, line: number) => number, a: number, b: number, lines: number): boolean {
  let above = 0;
  for (let k = 0; k < lines; k++) {
    const la = lifts(a, k);
    const lb = lifts(b, k);
    if (la < 0 || lb < 0 || la === lb) continue;
    const now = la - lb;
    if (above !== 0 && now !== above) return false;
    above = now;
  }
  return above !== 0;
}

function neighbours(
  threads: number,
  lines: number,
  positionMm: Float64Array,
  periodMm: number,
  lifts: (thread: number, line: number) => number,
): { next: Int32Array; restMm: Float64Array } {
  const next = new Int32Array(threads).fill(-1);
  const restMm = new Float64Array(threads);
  const taken = new Uint8Array(threads);
  for (let t = 0; t < threads; t++) {
    for (let step = 1; step <= LAYERS; step++) {
      const u = (t + step) % threads;
      const wraps = t + step >= threads;
      if (u === t || (wraps && periodMm === 0)) break;
      const restOf = positionMm[u] - positionMm[t] + (wraps ? periodMm : 0);
      // Rows side by side in one shed lie on one line and have no room of each other to take.
      if (!(restOf > 0) || slides(lifts, t, u, lines)) continue;
      if (taken[u] === 0) {
        next[t] = u;
        restMm[t] = restOf;
        taken[u] = 1;
      }
      break;
    }
  }
  return { next, restMm };
}

/** Room before and beyond each thread's line. Positions ascend and may coincide. */
function roomOf(positionMm: Float64Array, periodMm: number): { beforeMm: Float64Array; beyondMm: Float64Array } {
  const n = positionMm.length;
  const beforeMm = new Float64Array(n);
  const beyondMm = new Float64Array(n);
  const at = (t: number) => (t < 0 ? positionMm[n - 1] - periodMm : t < n ? positionMm[t] : positionMm[0] + periodMm);
  for (let t = 0; t < n; t++) {
    let before = t - 1;
    while (before >= 0 && !(positionMm[t] > positionMm[before])) before--;
    let beyond = t + 1;
    while (beyond < n && !(positionMm[beyond] > positionMm[t])) beyond++;
    beforeMm[t] = ROOM_SHARE * Math.max(0, at(t) - at(before));
    beyondMm[t] = ROOM_SHARE * Math.max(0, at(beyond) - at(t));
  }
  return { beforeMm, beyondMm };
}

function buildPlanSide(problem: HeightsProblem, threads: PlanThreads, warp: boolean): PlanSide {
  const { rows, ends, drawdown, rowFirst, rowLast, boundary } = problem;
  const { levelOfRow, levelYMm } = assignLevels(problem);
  const levels = levelYMm.length;
  const periodic = boundary === 'periodic';
  const periodXMm = periodic ? problem.periodXMm! : 0;
  const periodYMm = periodic ? problem.periodYMm! : 0;
  const count = warp ? ends : rows;
  const lines = warp ? levels : ends;
  const solved = warp ? rowsOnLevels(problem, levelOfRow, levels) : null;
  const lineMm = warp ? levelYMm : problem.endXMm;
  const positionMm = warp ? problem.endXMm : problem.rowYMm;
  const first = warp ? new Uint32Array(ends) : rowFirst;
  const last = warp ? new Uint32Array(ends).fill(levels - 1) : rowLast;
  const lifts = warp
    ? (end: number, level: number) => {
        const at = solved ? solved[level * ends + end] : level * ends + end;
        if (at < 0) return -1;
        return isWarpUp(drawdown, Math.floor(at / ends), end) ? 1 : 0;
      }
    : // Where the warp is up, the row lies under it.
      (row: number, end: number) =>
        end < rowFirst[row] || end > rowLast[row] ? -1 : isWarpUp(drawdown, row, end) ? 0 : 1;
  const beside = neighbours(count, lines, positionMm, warp ? periodXMm : periodYMm, lifts);
  const fixed = new Uint8Array(count);
  if (!periodic) {
    fixed[0] = 1;
    fixed[count - 1] = 1;
  }
  return {
    warp,
    threads: count,
    lines,
    threadStep: warp ? 1 : ends,
    alongStep: warp ? ends : 1,
    first,
    last,
    lineMm,
    ...beside,
    stiffnessN: warp ? threads.endStiffnessN : threads.rowStiffnessN,
    contactWidthMm: warp ? threads.endContactWidthMm : threads.rowContactWidthMm,
    halfHeightMm: warp ? problem.endHalfHeightMm : problem.rowHalfHeightMm,
    ...roomOf(positionMm, warp ? periodXMm : periodYMm),
    fixed,
    periodAlongMm: warp ? periodYMm : periodXMm,
    periodAcrossMm: warp ? periodXMm : periodYMm,
    solved,
    family: buildBeamFamily({
      positions: lineMm,
      ends: boundary,
      closingSpanMm: (warp ? periodYMm : periodXMm) - (lineMm[lines - 1] - lineMm[0]),
      beams: count,
      nodeStep: warp ? ends : 1,
      beamStep: warp ? 1 : ends,
      first,
      last,
      bendingNmm2: warp ? threads.endBendingNmm2 : threads.rowBendingNmm2,
      tensionN: warp ? problem.endTensionN : problem.rowTensionN,
      confinementShare: PLAN_CONFINEMENT,
    }),
  };
}

/** Both systems of a region in plan; offsets and heights change nothing of it. */
export interface PlanSides {
  readonly warp: PlanSide;
  readonly weft: PlanSide;
}

export function* buildPlanSides(problem: HeightsProblem, threads: PlanThreads): Generator<void, PlanSides> {
  const warp = buildPlanSide(problem, threads, true);
  yield;
  const weft = buildPlanSide(problem, threads, false);
  yield;
  return { warp, weft };
}

/** Index (row, end) at each level and end, −1 where no row passes; null where every level is one row, right across. */
function rowsOnLevels(problem: HeightsProblem, levelOfRow: Uint32Array, levels: number): Int32Array | null {
  const { rows, ends, rowFirst, rowLast } = problem;
  const whole = levels === rows && rowFirst.every((from, j) => from === 0 && rowLast[j] === ends - 1);
  if (whole) return null;
  const out = new Int32Array(levels * ends).fill(-1);
  for (let j = 0; j < rows; j++)
    for (let i = rowFirst[j]; i <= rowLast[j]; i++) out[levelOfRow[j] * ends + i] = j * ends + i;
  return out;
}
