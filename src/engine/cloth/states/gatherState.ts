import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { ReedStage } from '#engine/cloth/reed/closing.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { mean } from './mean.ts';
import { evenedOutline } from './outline.ts';
import type { SettledSpacing } from './settleSpacing.ts';
import type { StateModel, StateSpacing } from './stateTypes.ts';
import type { Window } from './windows.ts';

/** Spaces at a window's edge that its mirror image bears on. */
const EDGE_SPACES = 2;

/** Tension of each row's weft as it is held at the fell, N. */
export function fellTension(problem: ClothProblem, model: StateModel): Float64Array {
  return new Float64Array(problem.rows).fill(model.fellTensionShare * mean(problem.endTensionN));
}

/** From windows to the whole cloth: each space keeps its beat's place times what its kind has lost. */
export function gatherState(
  problem: ClothProblem,
  rowYMm: Float64Array,
  windows: readonly Window[],
  onLoom: readonly SettledSpacing[],
  state: readonly SettledSpacing[],
  given: {
    readonly kindOf: Uint32Array;
    readonly kinds: number;
    readonly keeps: number;
    readonly reedMarks: ReedStage;
    readonly bodies: readonly YarnBody[];
    readonly model: StateModel;
  },
): StateSpacing {
  const { kindOf, kinds, keeps, reedMarks, bodies, model } = given;
  const before = new Float64Array(kinds + 1);
  const after = new Float64Array(kinds + 1);
  const widths = new Float64Array(kinds + 1);
  const said = new Float64Array(kinds + 1);
  const over = new Map<number, { sum: number; pullN: number; count: number }>();
  const endsOver = new Map<string, { sum: number; count: number }>();
  /** Ends of one yarn and one beam have as much over. */
  const endKind = (of: ClothProblem, end: number) => `${of.endYarn[end]} ${of.endSlackShare?.[end] ?? 0}`;
  const balance = { warpN: 0, weftN: 0, count: 0 };
  windows.forEach((window, number) => {
    const { rowOf, region } = window;
    const now = state[number];
    const loom = onLoom[number];
    const edge = region.boundary === 'mirrored' && now.rowSpacesMm.length > 4 * EDGE_SPACES ? EDGE_SPACES : 0;
    for (let k = edge; k < now.rowSpacesMm.length - edge; k++) {
      for (const kind of [kindOf[rowOf[region.firstRow + k]], kinds]) {
        before[kind] += loom.rowSpacesMm[k];
        after[kind] += now.rowSpacesMm[k];
        widths[kind] += now.widthShare;
        said[kind]++;
      }
    }
    now.weftOver.forEach((excess, row) => {
      const yarn = window.problem.rowYarn[region.firstRow + row];
      const known = over.get(yarn) ?? { sum: 0, pullN: 0, count: 0 };
      over.set(yarn, {
        sum: known.sum + Math.max(0, excess),
        pullN: known.pullN + now.rowPullN[row],
        count: known.count + 1,
      });
    });
    now.warpOver.forEach((excess, end) => {
      const kind = endKind(window.problem, region.firstEnd + end);
      const known = endsOver.get(kind) ?? { sum: 0, count: 0 };
      endsOver.set(kind, { sum: known.sum + Math.max(0, excess), count: known.count + 1 });
    });
    balance.warpN += now.balance.warpN;
    balance.weftN += now.balance.weftN;
    balance.count++;
  });
  const kindAt = (k: number) => (said[kindOf[k]] > 0 ? kindOf[k] : kinds);
  const out = new Float64Array(problem.rows);
  const spaceShare = new Float64Array(Math.max(0, problem.rows - 1));
  const wishes = new Float64Array(problem.rows);
  for (let k = 0; k + 1 < problem.rows; k++) {
    const kind = kindAt(k);
    spaceShare[k] = before[kind] > 0 ? after[kind] / before[kind] : 1;
    out[k + 1] = out[k] + (rowYMm[k + 1] - rowYMm[k]) * spaceShare[k];
    wishes[k] = said[kind] > 0 ? widths[kind] / said[kind] : 1;
  }
  wishes[problem.rows - 1] = problem.rows > 1 ? wishes[problem.rows - 2] : state[0].widthShare;
  const outline = evenedOutline(wishes, out, problem.endXMm[problem.ends - 1] - problem.endXMm[0]);
  const { warpN, weftN, count } = balance;
  const fellShare = mean(onLoom.map((loom) => loom.fellShare ?? 1));
  return {
    widthShare: mean(outline),
    widthByRow: outline,
    rowYMm: out,
    spaceShare,
    reedMarks,
    endTensionN: problem.endTensionN.map((tension) => tension * keeps + warpN / count),
    rowTensionN: fellTension(problem, model).map((tension, row) => {
      const pull = over.get(problem.rowYarn[row]);
      return tension * keeps * fellShare + weftN / count + (pull ? pull.pullN / pull.count : 0);
    }),
    yarns: bodies,
    weftOver: Float64Array.from(problem.rowYarn, (yarn) => {
      const known = over.get(yarn);
      return known ? known.sum / known.count : 0;
    }),
    warpOver: Float64Array.from({ length: problem.ends }, (_, end) => {
      const known = endsOver.get(endKind(problem, end));
      return known ? known.sum / known.count : 0;
    }),
  };
}
