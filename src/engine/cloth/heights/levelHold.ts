import type { HeightsProblem } from './heightsTypes.ts';

/** Distance of the hold's nodes in mean pitches: relief of more than twice this length is held flat. */
const PITCHES_PER_CELL = 16;
/** Share of its own weight below which a node hangs on others wholly (its crossings all on their side). */
const LEAST_PIVOT = 1e-9;
/** More nodes than this each way would cost more than they flatten. */
const MOST_CELLS = 64;

/** Where the threads of one family lie among the hold's nodes. */
export interface HoldAxis {
  readonly nodes: number;
  /** Node before each thread, and how far on to the next it lies, 0..1. */
  readonly cell: Uint32Array;
  readonly part: Float64Array;
  /** 1, and ½ for threads at a border where the cloth is reflected. */
  readonly share: Float64Array;
  /** First thread of each cell, and the count of threads. */
  readonly start: Uint32Array;
}

/**
 * Holds the mid-surface flat on average: its integral against every hat function of a coarse grid is zero. The loom's
 * tension, or the table, presses with a smooth load of the same hats. Mid-surface means the mean of warp and weft at a
 * crossing, weighted by their stiffness scales; moved alike, they keep their contacts, so that hold and contacts are met
 * one after the other exactly. A repeat is held by its mean alone.
 */
export interface LevelHold {
  readonly x: HoldAxis;
  readonly y: HoldAxis;
  /** Cholesky factor of the hats' weighted products, banded: row n holds columns n − band .. n. */
  readonly band: number;
  readonly factor: Float64Array;
  /** Gathered sums, then coefficients, per node, x fastest. */
  readonly coefficient: Float64Array;
  readonly line: Float64Array;
  /** Nodes in all; `coefficient` is longer by a row and two, so that sums may be added unchecked. */
  readonly size: number;
  /** False where nothing but the confinement holds the cloth. */
  readonly active: boolean;
}

/** Cells of the hold along so many threads of a cloth that does not repeat. */
export function holdCells(threads: number): number {
  return threads < 3 ? 0 : Math.min(MOST_CELLS, Math.max(1, Math.round((threads - 1) / PITCHES_PER_CELL)));
}

function axis(positions: Float64Array, periodic: boolean, wanted: number | undefined): HoldAxis {
  const n = positions.length;
  const extent = positions[n - 1] - positions[0];
  const cells = periodic ? 0 : (wanted ?? holdCells(n));
  const cell = new Uint32Array(n);
  const part = new Float64Array(n);
  const share = new Float64Array(n).fill(1);
  if (n > 1 && !periodic) share[0] = share[n - 1] = 0.5;
  for (let k = 0; k < n && cells > 0; k++) {
    const at = ((positions[k] - positions[0]) / extent) * cells;
    cell[k] = Math.min(cells - 1, Math.floor(at));
    part[k] = at - cell[k];
  }
  const start = new Uint32Array(Math.max(1, cells) + 1);
  for (let k = n - 1; k >= 0; k--) start[cell[k]] = k;
  start[start.length - 1] = n;
  for (let c = start.length - 2; c > 0; c--) if (start[c] === 0) start[c] = start[c + 1];
  return { nodes: cells + 1, cell, part, share, start };
}

/** @param endScale, rowScale stiffness scales of ends and rows */
export function buildLevelHold(
  problem: HeightsProblem,
  levelYMm: Float64Array,
  levelOfRow: Uint32Array,
  endScale: Float64Array,
  rowScale: Float64Array,
  active: boolean,
): LevelHold {
  const periodic = problem.boundary === 'periodic';
  const x = axis(problem.endXMm, periodic, problem.holdCells?.across);
  const y = axis(levelYMm, periodic, problem.holdCells?.along);
  const size = x.nodes * y.nodes;
  const band = Math.min(size - 1, x.nodes + 1);
  const stride = band + 1;
  const line = new Float64Array(x.nodes + 1);
  const coefficient = new Float64Array(size + x.nodes + 2);
  const factor = new Float64Array(size * stride);
  const hold: LevelHold = { x, y, band, factor, coefficient, line, size, active };
  if (!active) return hold;
  // Whole rows of a cell differ in their weights alone, so that these are added up first.
  const whole = productsAlong(x, endScale, 0, problem.ends - 1);
  const cells = Math.max(1, y.nodes - 1);
  const weights = new Float64Array(8 * cells);
  const one = new Float64Array(8);
  for (let j = 0; j < problem.rows; j++) {
    const level = levelOfRow[j];
    const cell = y.cell[level];
    if (problem.rowFirst[j] === 0 && problem.rowLast[j] === problem.ends - 1) {
      addWeights(weights, 8 * cell, y.part[level], y.share[level], rowScale[j]);
      continue;
    }
    addWeights(one.fill(0), 0, y.part[level], y.share[level], rowScale[j]);
    addProducts(hold, cell, productsAlong(x, endScale, problem.rowFirst[j], problem.rowLast[j]), one, 0);
  }
  for (let cell = 0; cell < cells; cell++) addProducts(hold, cell, whole, weights, 8 * cell);
  factorBand(factor, size, band);
  return hold;
}

/** Adds share·(hat u)·(hat v), u and v the hats below and above, and the same times the row's scale: 4 + 4 numbers. */
function addWeights(weights: Float64Array, at: number, part: number, share: number, scale: number): void {
  for (let u = 0; u < 2; u++) {
    for (let v = 0; v < 2; v++) {
      const weight = share * (u ? part : 1 - part) * (v ? part : 1 - part);
      weights[at + 2 * u + v] += weight;
      weights[at + 4 + 2 * u + v] += weight * scale;
    }
  }
}

/** Adds the hats' products over a row of cells to the matrix: those along the row (see productsAlong) times the weights. */
function addProducts(hold: LevelHold, cellY: number, p: Float64Array, weights: Float64Array, at: number): void {
  const { factor, band, size, x } = hold;
  const stride = band + 1;
  const add = (a: number, b: number, value: number) => {
    if (a < size && b < size) factor[Math.max(a, b) * stride + band - Math.abs(a - b)] += value;
  };
  for (let c = 0; c < x.start.length - 1; c++) {
    const n = cellY * x.nodes + c;
    for (let u = 0; u < 2; u++) {
      for (let v = 0; v < 2; v++) {
        const w = weights[at + 2 * u + v];
        const scaled = weights[at + 4 + 2 * u + v];
        if (w === 0) continue;
        const m = n + u * x.nodes;
        const k = n + v * x.nodes;
        const cross = w * p[6 * c + 1] + scaled * p[6 * c + 4];
        if (u >= v) {
          add(m, k, w * p[6 * c] + scaled * p[6 * c + 3]);
          add(m + 1, k + 1, w * p[6 * c + 2] + scaled * p[6 * c + 5]);
        }
        // Left with right: each unordered pair of nodes once.
        add(m, k + 1, u === v ? cross : 0.5 * cross);
        if (u !== v) add(m + 1, k, 0.5 * cross);
      }
    }
  }
}

/**
 * Sums over ends `from`..`to`, per cell: share·scale·(left², left·right, right²), then the same without the scale; left
 * and right the cell's two hats.
 */
function productsAlong(x: HoldAxis, scale: Float64Array, from: number, to: number): Float64Array {
  const sums = new Float64Array(6 * (x.start.length - 1));
  for (let i = from; i <= to; i++) {
    const right = x.part[i];
    const left = 1 - right;
    const at = 6 * x.cell[i];
    const w = x.share[i] * scale[i];
    sums[at] += w * left * left;
    sums[at + 1] += w * left * right;
    sums[at + 2] += w * right * right;
    sums[at + 3] += x.share[i] * left * left;
    sums[at + 4] += x.share[i] * left * right;
    sums[at + 5] += x.share[i] * right * right;
  }
  return sums;
}

/** Cholesky in place. Nodes that no crossing touches, or that hang on others wholly, get an endless pivot, hence 0. */
function factorBand(factor: Float64Array, size: number, band: number): void {
  const stride = band + 1;
  for (let n = 0; n < size; n++) {
    const least = LEAST_PIVOT * factor[n * stride + band];
    for (let c = Math.max(0, n - band); c <= n; c++) {
      let sum = factor[n * stride + band - (n - c)];
      for (let k = Math.max(0, n - band, c - band); k < c; k++)
        sum -= factor[n * stride + band - (n - k)] * factor[c * stride + band - (c - k)];
      if (c < n) factor[n * stride + band - (n - c)] = sum / factor[c * stride + band];
      else factor[n * stride + band] = sum > least ? Math.sqrt(sum) : Infinity;
    }
  }
}

/** Turns gathered sums into coefficients. */
export function solveHold(hold: LevelHold): void {
  const { factor, band, coefficient, size } = hold;
  const stride = band + 1;
  for (let n = 0; n < size; n++) {
    let sum = coefficient[n];
    for (let k = Math.max(0, n - band); k < n; k++) sum -= factor[n * stride + band - (n - k)] * coefficient[k];
    coefficient[n] = sum / factor[n * stride + band];
  }
  for (let n = size - 1; n >= 0; n--) {
    const value = coefficient[n] / factor[n * stride + band];
    coefficient[n] = value;
    for (let k = Math.max(0, n - band); k < n; k++) coefficient[k] -= factor[n * stride + band - (n - k)] * value;
  }
}

/**
 * Adds a level's part to the sums: Σ over nodes `from`..`to` of its row of weight·(α·a + β·b)·hat.
 * @param weights per end, or null for 1
 */
export function gatherRow(
  hold: LevelHold,
  level: number,
  weights: Float64Array | null,
  weight: number,
  a: Float64Array,
  b: Float64Array,
  alpha: number,
  beta: number,
  offset: number,
  from: number,
  to: number,
): void {
  const { x, y, coefficient } = hold;
  const { cell, part, share, start } = x;
  const above = weight * y.share[level] * y.part[level];
  const below = weight * y.share[level] - above;
  for (let c = cell[from]; c <= cell[to]; c++) {
    const stop = Math.min(to + 1, start[c + 1]);
    let all = 0;
    let next = 0;
    for (let k = Math.max(from, start[c]); k < stop; k++) {
      let value = share[k] * (alpha * a[offset + k] + beta * b[offset + k]);
      if (weights !== null) value *= weights[k];
      all += value;
      next += value * part[k];
    }
    const base = y.cell[level] * x.nodes + c;
    coefficient[base] += below * (all - next);
    coefficient[base + 1] += below * next;
    coefficient[base + x.nodes] += above * (all - next);
    coefficient[base + x.nodes + 1] += above * next;
  }
}

/** Coefficients along a level, into `hold.line`: the hold at end k is line[cell] + part·(line[cell+1] − line[cell]). */
export function lineOfLevel(hold: LevelHold, level: number): void {
  const { x, y, line, coefficient } = hold;
  const part = y.part[level];
  const base = y.cell[level] * x.nodes;
  for (let c = 0; c < x.nodes; c++) {
    const near = coefficient[base + c];
    line[c] = part === 0 ? near : near + part * (coefficient[base + x.nodes + c] - near);
  }
  line[x.nodes] = 0;
}
