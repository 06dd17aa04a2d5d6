import { inBands } from '#engine/cloth/pauses.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { ShadowPart } from './extrapolation.ts';
import { holdFlat } from './holdFlat.ts';

/**
 * Iterate of the splitting. Per node of warp and weft: `height` of the beams, `pull` (t = 2z − v, towards which the
 * beams are drawn) and `shadow` (v = z + u), where z are heights that respect the contacts and u the scaled forces.
 */
export interface SplittingState {
  readonly warpHeight: Float64Array;
  readonly warpPull: Float64Array;
  readonly warpShadow: Float64Array;
  readonly weftHeight: Float64Array;
  readonly weftPull: Float64Array;
  readonly weftShadow: Float64Array;
  /** Per end and per row: 1 / (penalty × scale) and the section's give; scratch of the projection. */
  readonly endSoftness: Float64Array;
  readonly rowSoftness: Float64Array;
}

export function* createSplittingState(grid: CrossingGrid, scratch: Scratch): Generator<void, SplittingState> {
  const warp = (name: string) => scratch.take(name, grid.ends * grid.levels);
  const weft = (name: string) => scratch.take(name, grid.rows * grid.ends);
  const [warpHeight, warpPull] = [warp('warpHeight'), warp('warpPull')];
  yield;
  const [warpShadow, weftHeight] = [warp('warpShadow'), weft('weftHeight')];
  yield;
  return {
    warpHeight,
    warpPull,
    warpShadow,
    weftHeight,
    weftPull: weft('weftPull'),
    weftShadow: weft('weftShadow'),
    endSoftness: new Float64Array(grid.ends),
    rowSoftness: new Float64Array(grid.rows),
  };
}

export function shadowsOf(state: SplittingState): ShadowPart[] {
  return [
    { shadow: state.warpShadow, pull: state.warpPull, height: state.warpHeight },
    { shadow: state.weftShadow, pull: state.weftPull, height: state.weftHeight },
  ];
}

/**
 * Relaxes the shadows towards the beams and projects every crossing's pair onto its contact (closed form), then
 * rescales to the next penalty so that forces stay as they are.
 *
 * Douglas–Rachford form of the alternating direction method of multipliers (J. Eckstein & D. P. Bertsekas 1992,
 * Math. Program. 55, 293): v ← v + α(w − z), z = proj(v), t = 2z − v. The projection is onto contacts and hold; each
 * leaves alone what the other moves.
 */
export function* projectContacts(
  grid: CrossingGrid,
  state: SplittingState,
  relaxation: number,
  penalty: number,
  nextPenalty: number,
): Generator<void, void> {
  const { rows, ends, bareWarpNodes, bareShadow } = grid;
  const { warpHeight, warpPull, warpShadow } = state;
  setSoftness(grid, state, penalty);
  const keep = penalty / nextPenalty;
  const half = 0.5 * relaxation;
  const stay = 1 - half;
  for (let b = 0; b < bareWarpNodes.length; b++) {
    const k = bareWarpNodes[b];
    bareShadow[b] = stay * warpShadow[k] + relaxation * warpHeight[k] - half * warpPull[k];
  }
  grid.hold.coefficient.fill(0);
  yield* inBands(rows, ends, (from, to) => projectRows(grid, state, relaxation, keep, from, to));
  if (grid.hold.active) yield* holdFlat(grid, state, keep);
  // Bare nodes are free, their pull is their shadow (the hold has moved them with the rest).
  for (let b = 0; b < bareWarpNodes.length; b++)
    warpShadow[bareWarpNodes[b]] = warpPull[bareWarpNodes[b]] = bareShadow[b];
}

function setSoftness(grid: CrossingGrid, state: SplittingState, penalty: number): void {
  for (let i = 0; i < grid.ends; i++) state.endSoftness[i] = 1 / (penalty * grid.warp.scale[i]);
  for (let j = 0; j < grid.rows; j++) state.rowSoftness[j] = 1 / (penalty * grid.weft.scale[j]);
}

/** The projection at the crossings of rows fromRow .. toRow − 1; adds the mid-surface's sums to the hold's coefficients. */
function projectRows(
  grid: CrossingGrid,
  state: SplittingState,
  relaxation: number,
  keep: number,
  fromRow: number,
  toRow: number,
): void {
  const { ends, levelOfRow, gap, endGive, rowGive } = grid;
  const { warpHeight, warpPull, warpShadow, weftHeight, weftPull, weftShadow, endSoftness, rowSoftness } = state;
  const half = 0.5 * relaxation;
  const stay = 1 - half;
  const lost = 1 - keep;
  const kept = 1 + keep;
  const { x, y, coefficient } = grid.hold;
  const endScale = grid.warp.scale;
  const cells = x.start.length - 1;
  for (let j = fromRow; j < toRow; j++) {
    const level = levelOfRow[j];
    const softF = rowSoftness[j];
    const giveF = rowGive[j];
    const scaleF = grid.weft.scale[j];
    const above = y.share[level] * y.part[level];
    const below = y.share[level] - above;
    for (let cell = 0; cell < cells; cell++) {
      const from = x.start[cell];
      const to = x.start[cell + 1];
      let all = 0;
      let next = 0;
      for (let i = from; i < to; i++) {
        const at = j * ends + i;
        const D = gap[at];
        if (D === 0) continue;
        const k = level * ends + i;
        const vw = stay * warpShadow[k] + relaxation * warpHeight[k] - half * warpPull[k];
        const vf = stay * weftShadow[at] + relaxation * weftHeight[at] - half * weftPull[at];
        const missing = D - vw + vf;
        const softW = endSoftness[i];
        // Pressed only where what is missing has the sign of the gap; without a branch, since it is hard to foretell.
        const closed = missing * D;
        const lambda = (0.5 * (closed + Math.abs(closed))) / (D * (softW + softF + giveF + endGive[i]));
        const uw = lambda * softW;
        const uf = lambda * softF;
        warpShadow[k] = vw + lost * uw;
        warpPull[k] = vw + kept * uw;
        weftShadow[at] = vf - lost * uf;
        weftPull[at] = vf - kept * uf;
        // The contact moves both by the same force, so that it leaves their weighted mean alone.
        const middle = x.share[i] * (endScale[i] * vw + scaleF * vf);
        all += middle;
        next += middle * x.part[i];
      }
      const base = y.cell[level] * x.nodes + cell;
      coefficient[base] += below * (all - next);
      coefficient[base + 1] += below * next;
      coefficient[base + x.nodes] += above * (all - next);
      coefficient[base + x.nodes + 1] += above * next;
    }
  }
}

/**
 * Contact force at each crossing (N, row-major) for beams at their present heights: what a projection without relaxation
 * would press with.
 */
export function contactForces(
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  force: Float64Array,
  fromRow: number,
  toRow: number,
): void {
  const { ends, levelOfRow, gap, endGive, rowGive } = grid;
  const { warpHeight, warpPull, warpShadow, weftHeight, weftPull, weftShadow, endSoftness, rowSoftness } = state;
  setSoftness(grid, state, penalty);
  for (let j = fromRow; j < toRow; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const D = gap[at];
      const k = levelOfRow[j] * ends + i;
      const vw = warpHeight[k] + 0.5 * (warpShadow[k] - warpPull[k]);
      const vf = weftHeight[at] + 0.5 * (weftShadow[at] - weftPull[at]);
      const pressed = (D > 0 ? 1 : -1) * (D - vw + vf);
      force[at] =
        D !== 0 && pressed > 1e-13 * Math.abs(D)
          ? pressed / (endSoftness[i] + rowSoftness[j] + endGive[i] + rowGive[j])
          : 0;
    }
  }
}
