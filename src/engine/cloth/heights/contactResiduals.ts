import { inBands } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import { fitLoad } from './holdFlat.ts';
import { type LevelHold, lineOfLevel } from './levelHold.ts';
import type { SplittingState } from './splitting.ts';

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

const worst = { penetration: 0, imbalance: 0, pressedApart: 0, pulling: 0, total: 0 };

/**
 * How far the beams' heights, with the forces that hold them there, are from equilibrium in contact. Call between the
 * beam sweeps and the projection; `penalty` is the sweeps'. Leaves the hold's load in its coefficients.
 */
export function* measureResiduals(
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  out: ContactResiduals,
): Generator<void, void> {
  const { rows, ends, bareWarpNodes: bare } = grid;
  if (grid.hold.active) yield* fitLoad(grid, state, penalty);
  worst.penetration = worst.imbalance = worst.pressedApart = worst.pulling = worst.total = 0;
  yield* inBands(rows, ends, (from, to) => residualsOfRows(grid, state, penalty, from, to));
  for (let b = 0; b < bare.length; b++) {
    const k = bare[b];
    const off = Math.abs(penalty * grid.warp.scale[k % ends] * (state.warpPull[k] - state.warpHeight[k]));
    if (off > worst.imbalance) worst.imbalance = off;
  }
  const mean = worst.total / Math.max(1, grid.crossings);
  const unit = mean > 0 ? mean : 1;
  out.penetration = worst.penetration;
  out.forceImbalance = worst.imbalance / unit;
  out.complementarity = Math.max(worst.pressedApart, worst.pulling) / unit;
  out.meanForceN = mean;
}

/** Takes rows fromRow .. toRow − 1 into `worst`. */
function residualsOfRows(
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  fromRow: number,
  toRow: number,
): void {
  const { ends, levelOfRow, gap, endGive, rowGive, hold } = grid;
  const { warpHeight, warpPull, weftHeight, weftPull } = state;
  let { penetration, imbalance, pressedApart, pulling, total } = worst;
  for (let j = fromRow; j < toRow; j++) {
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
  worst.penetration = penetration;
  worst.imbalance = imbalance;
  worst.pressedApart = pressedApart;
  worst.pulling = pulling;
  worst.total = total;
}
