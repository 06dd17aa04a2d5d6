import type { CrossingGrid } from './crossingGrid.ts';
import { fitLoad, holdFlat } from './holdFlat.ts';
import { type LevelHold, lineOfLevel } from './levelHold.ts';

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

export function createSplittingState(grid: CrossingGrid): SplittingState {
  const warp = () => new Float64Array(grid.ends * grid.levels);
  const weft = () => new Float64Array(grid.rows * grid.ends);
  return {
    warpHeight: warp(),
    warpPull: warp(),
    warpShadow: warp(),
    weftHeight: weft(),
    weftPull: weft(),
    weftShadow: weft(),
    endSoftness: new Float64Array(grid.ends),
    rowSoftness: new Float64Array(grid.rows),
  };
}

/**
 * Relaxes the shadows towards the beams and projects every crossing's pair onto its contact (closed form), then
 * rescales to the next penalty so that forces stay as they are.
 *
 * Douglas–Rachford form of the alternating direction method of multipliers (J. Eckstein & D. P. Bertsekas 1992,
 * Math. Program. 55, 293): v ← v + α(w − z), z = proj(v), t = 2z − v. The projection is onto contacts and hold; each
 * leaves alone what the other moves.
 */
export function projectContacts(
  grid: CrossingGrid,
  state: SplittingState,
  relaxation: number,
  penalty: number,
  nextPenalty: number,
): void {
  const { rows, ends, levelOfRow, gap } = grid;
  const { warpHeight, warpPull, warpShadow, weftHeight, weftPull, weftShadow, endSoftness, rowSoftness } = state;
  const { endGive, rowGive } = grid;
  for (let i = 0; i < ends; i++) endSoftness[i] = 1 / (penalty * grid.warp.scale[i]);
  for (let j = 0; j < rows; j++) rowSoftness[j] = 1 / (penalty * grid.weft.scale[j]);
  const keep = penalty / nextPenalty;
  const half = 0.5 * relaxation;
  const stay = 1 - half;
  const { bareWarpNodes, bareShadow } = grid;
  for (let b = 0; b < bareWarpNodes.length; b++) {
    const k = bareWarpNodes[b];
    bareShadow[b] = stay * warpShadow[k] + relaxation * warpHeight[k] - half * warpPull[k];
  }
  const { x, y, coefficient } = grid.hold;
  const endScale = grid.warp.scale;
  coefficient.fill(0);
  const cells = x.start.length - 1;
  for (let j = 0; j < rows; j++) {
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
        const uw = -lambda * softW;
        const uf = lambda * softF;
        const zw = vw - uw;
        const zf = vf - uf;
        warpShadow[k] = zw + keep * uw;
        warpPull[k] = zw - keep * uw;
        weftShadow[at] = zf + keep * uf;
        weftPull[at] = zf - keep * uf;
        const middle = x.share[i] * (endScale[i] * zw + scaleF * zf);
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
  if (grid.hold.active) holdFlat(grid, state, keep);
  // Bare nodes are free, their pull is their shadow (the hold has moved them with the rest).
  for (let b = 0; b < bareWarpNodes.length; b++)
    warpShadow[bareWarpNodes[b]] = warpPull[bareWarpNodes[b]] = bareShadow[b];
}

/** Contact force at each crossing (N, row-major), from shadows and pulls that a projection has just set. */
export function contactForces(grid: CrossingGrid, state: SplittingState, penalty: number): Float64Array {
  const { rows, ends, levelOfRow, gap } = grid;
  const { warpPull, warpShadow, weftPull, weftShadow } = state;
  const force = new Float64Array(rows * ends);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const k = levelOfRow[j] * ends + i;
      // u = (v − t)/2 of either thread; the hold's part is the same in both.
      const apart = 0.5 * (weftShadow[at] - weftPull[at] - warpShadow[k] + warpPull[k]);
      const softness = 1 / (penalty * grid.warp.scale[i]) + 1 / (penalty * grid.weft.scale[j]);
      force[at] = Math.abs(apart) < 1e-13 * Math.abs(gap[at]) ? 0 : Math.abs(apart) / softness;
    }
  }
  return force;
}

function loadAt(hold: LevelHold, end: number): number {
  const { cell, part } = hold.x;
  const near = hold.line[cell[end]];
  return near + part[end] * (hold.line[cell[end] + 1] - near);
}

export interface ContactResiduals {
  penetration: number;
  forceImbalance: number;
  complementarity: number;
  meanForceN: number;
}

/**
 * How far the beams' heights, with the forces that hold them there, are from equilibrium in contact. Call between the
 * beam sweeps and the projection; `penalty` is the sweeps'.
 */
export function measureResiduals(
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  out: ContactResiduals,
): void {
  const { rows, ends, levelOfRow, gap, endGive, rowGive } = grid;
  const { warpHeight, warpPull, weftHeight, weftPull } = state;
  const { hold } = grid;
  if (hold.active) fitLoad(grid, state, penalty);
  let penetration = 0;
  let imbalance = 0;
  let pressedApart = 0;
  let pulling = 0;
  let total = 0;
  for (let j = 0; j < rows; j++) {
    if (hold.active) lineOfLevel(hold, levelOfRow[j]);
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const D = gap[at];
      if (D === 0) continue;
      const k = levelOfRow[j] * ends + i;
      const load = hold.active ? loadAt(hold, i) : 0;
      const onWarp = grid.warp.scale[i] * (penalty * (warpPull[k] - warpHeight[k]) - load);
      const onWeft = grid.weft.scale[j] * (penalty * (weftPull[at] - weftHeight[at]) - load);
      const side = D > 0 ? 1 : -1;
      const force = 0.5 * side * (onWarp - onWeft);
      const give = (endGive[i] + rowGive[j]) * Math.max(0, force);
      const open = (side * (warpHeight[k] - weftHeight[at] - D) + give) / Math.abs(D);
      const off = Math.abs(onWarp + onWeft);
      if (-open > penetration) penetration = -open;
      if (off > imbalance) imbalance = off;
      if (force > 0) {
        total += force;
        const product = open > 0 ? Math.min(open, 1) * force : 0;
        if (product > pressedApart) pressedApart = product;
      } else if (-force > pulling) pulling = -force;
    }
  }
  const bare = grid.bareWarpNodes;
  for (let b = 0; b < bare.length; b++) {
    const k = bare[b];
    const i = k % ends;
    const off = Math.abs(penalty * grid.warp.scale[i] * (warpPull[k] - warpHeight[k]));
    if (off > imbalance) imbalance = off;
  }
  const mean = total / Math.max(1, grid.crossings);
  const unit = mean > 0 ? mean : 1;
  out.penetration = penetration;
  out.forceImbalance = imbalance / unit;
  out.complementarity = Math.max(pressedApart, pulling) / unit;
  out.meanForceN = mean;
}
