import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';

/** Elements that each span between crossings is cut into; cubic elements under tension then err by less than 1e-5. */
const ELEMENTS = 12;

/**
 * Heights of a small repeat by another way: every thread a chain of cubic elements with the tension's geometric
 * stiffness (J. S. Przemieniecki 1968, Theory of Matrix Structural Analysis; from memory), its compliance at the
 * crossings by dense elimination, and the contact forces by projected Gauss–Seidel on the dual problem
 * (least ½λᵀGλ − Dλ, λ ≥ 0). Upright contacts; the confinement as the solver defines it.
 */
export function denseHeights(problem: HeightsProblem, confinementShare: number, sweeps: number) {
  const { rows, ends } = problem;
  const warp = Array.from({ length: ends }, (_, i) =>
    compliance(problem.rowYMm, problem.periodYMm!, problem.endBendingNmm2[i], problem.endTensionN[i], confinementShare),
  );
  const weft = Array.from({ length: rows }, (_, j) =>
    compliance(problem.endXMm, problem.periodXMm!, problem.rowBendingNmm2[j], problem.rowTensionN[j], confinementShare),
  );
  const n = rows * ends;
  const side = new Float64Array(n);
  const gap = new Float64Array(n);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < ends; i++) {
      side[j * ends + i] = isWarpUp(problem.drawdown, j, i) ? 1 : -1;
      gap[j * ends + i] = problem.endHalfHeightMm[i] + problem.rowHalfHeightMm[j];
    }
  const force = new Float64Array(n);
  const warpHeight = new Float64Array(n);
  const weftHeight = new Float64Array(n);
  for (let sweep = 0; sweep < sweeps; sweep++) {
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < ends; i++) {
        const at = j * ends + i;
        const open = side[at] * (warpHeight[at] - weftHeight[at]) - gap[at];
        const soft = warp[i][j][j] + weft[j][i][i];
        const change = Math.max(0, force[at] - open / soft) - force[at];
        if (change === 0) continue;
        force[at] += change;
        for (let r = 0; r < rows; r++) warpHeight[r * ends + i] += side[at] * change * warp[i][r][j];
        for (let e = 0; e < ends; e++) weftHeight[j * ends + e] -= side[at] * change * weft[j][e][i];
      }
    }
  }
  return { force, warpHeight, weftHeight };
}

/** Height at each node per unit force at each node of one periodic thread. */
function compliance(
  positions: Float64Array,
  period: number,
  B: number,
  T: number,
  confinementShare: number,
): number[][] {
  const nodes = positions.length;
  const p = period / nodes;
  const scale = B / p ** 3 + T / (12 * p);
  const points = nodes * ELEMENTS;
  const size = 2 * points;
  const K = Array.from({ length: size }, () => new Float64Array(size));
  for (let k = 0; k < nodes; k++) {
    const span = (k + 1 < nodes ? positions[k + 1] : positions[0] + period) - positions[k];
    const hold = (0.5 * confinementShare * scale * span) / p;
    K[2 * k * ELEMENTS][2 * k * ELEMENTS] += hold;
    const next = ((k + 1) % nodes) * ELEMENTS;
    K[2 * next][2 * next] += hold;
    const l = span / ELEMENTS;
    const b = B / l ** 3;
    const t = T / (30 * l);
    const element = [
      [12 * b + 36 * t, (6 * b + 3 * t) * l, -12 * b - 36 * t, (6 * b + 3 * t) * l],
      [(6 * b + 3 * t) * l, (4 * b + 4 * t) * l * l, (-6 * b - 3 * t) * l, (2 * b - t) * l * l],
      [-12 * b - 36 * t, (-6 * b - 3 * t) * l, 12 * b + 36 * t, (-6 * b - 3 * t) * l],
      [(6 * b + 3 * t) * l, (2 * b - t) * l * l, (-6 * b - 3 * t) * l, (4 * b + 4 * t) * l * l],
    ];
    for (let e = 0; e < ELEMENTS; e++) {
      const from = k * ELEMENTS + e;
      const to = (from + 1) % points;
      const map = [2 * from, 2 * from + 1, 2 * to, 2 * to + 1];
      for (let r = 0; r < 4; r++) for (let c = 0; c < 4; c++) K[map[r]][map[c]] += element[r][c];
    }
  }
  const columns = solveDense(K, nodes);
  return Array.from({ length: nodes }, (_, r) => columns.map((column) => column[2 * r * ELEMENTS]));
}

/** Gauss elimination with partial pivots for unit forces at the crossings. */
function solveDense(K: Float64Array[], nodes: number): Float64Array[] {
  const size = K.length;
  const right = Array.from({ length: nodes }, (_, k) => {
    const unit = new Float64Array(size);
    unit[2 * k * ELEMENTS] = 1;
    return unit;
  });
  for (let c = 0; c < size; c++) {
    let pivot = c;
    for (let r = c + 1; r < size; r++) if (Math.abs(K[r][c]) > Math.abs(K[pivot][c])) pivot = r;
    [K[c], K[pivot]] = [K[pivot], K[c]];
    for (const unit of right) [unit[c], unit[pivot]] = [unit[pivot], unit[c]];
    for (let r = c + 1; r < size; r++) {
      const factor = K[r][c] / K[c][c];
      if (factor === 0) continue;
      for (let k = c; k < size; k++) K[r][k] -= factor * K[c][k];
      for (const unit of right) unit[r] -= factor * unit[c];
    }
  }
  for (const unit of right)
    for (let r = size - 1; r >= 0; r--) {
      let sum = unit[r];
      for (let k = r + 1; k < size; k++) sum -= K[r][k] * unit[k];
      unit[r] = sum / K[r][r];
    }
  return right;
}
