import type { Scratch } from '#engine/cloth/scratch.ts';

/** Steps that are looked back on. */
const MEMORY = 5;
const SLOTS = MEMORY + 1;
/** Keeps the fit from following rounding, as a share of its trace. */
const RIDGE = 1e-5;
/**
 * What the fit may leave of the residual. An even cloth moves in few ways, which five steps tell; where threads near a fault
 * open and close the fit leaves nine tenths, and following it leads astray.
 */
const MOST_LEFT = 0.2;
/**
 * None follow once what fits in a row have left adds up to so much (its squares: where nothing is told, four or five fits), or
 * after so many extrapolations that had to be taken back, or made at all.
 */
const MOST_VAIN = 4;
const MOST_REFUSED = 3;
const MOST_MADE = 60;

/** Of more values than these every seventh is fitted to (a step that few weaves have); the rest follow with them. */
const MOST_FITTED = 500;
const SAMPLE_STEP = 7;

/**
 * Contacts of one kind as the splitting has them: shadows, pulls and the heights of their nodes. `at` are those meant where
 * not all are, `node` their nodes where heights are in another order.
 */
export interface ShadowPart {
  readonly shadow: Float64Array;
  readonly pull: Float64Array;
  readonly height: Float64Array;
  readonly at?: Uint32Array;
  readonly node?: Uint32Array;
}

const sizeOf = ({ shadow, at }: ShadowPart): number => at?.length ?? shadow.length;

/**
 * Extrapolates the splitting's shadows v ← v + α(w − z) from their last few steps: the combination of them, weights adding up
 * to one, whose residual would be least were the map linear, as it is while contacts stay as they are. A step that leads to a
 * larger residual is taken back.
 * Source: D. G. Anderson 1965, J. ACM 12, 547; for splittings, with steps taken back, J. Zhang, B. O'Donoghue & S. Boyd 2020,
 * SIAM J. Optim. 30, 3170 (from memory). When to try at all (MOST_LEFT) is our own.
 */
export class Extrapolation {
  private readonly steps: Float64Array[];
  private readonly residuals: Float64Array[];
  private readonly every: number;
  /** Products of the residuals by slot. */
  private readonly products = new Float64Array(SLOTS * SLOTS);
  private held = 0;
  private slot = 0;
  /** Square of the residual that the last extrapolation began from; none where the last step was plain. */
  private before: number | null = null;
  private vain = 0;
  private refused = 0;
  private made = 0;

  constructor(
    private readonly parts: readonly ShadowPart[],
    scratch: Scratch,
  ) {
    const size = parts.reduce((sum, part) => sum + sizeOf(part), 0);
    this.every = size > MOST_FITTED ? SAMPLE_STEP : 1;
    const sampled = parts.reduce((sum, part) => sum + Math.ceil(sizeOf(part) / this.every), 0);
    const take = (name: string, length: number) =>
      Array.from({ length: SLOTS }, (_, slot) => scratch.takeDirty(`${name} ${slot}`, length));
    this.steps = take('extrapolationStep', size);
    this.residuals = take('extrapolationResidual', sampled);
  }

  /** Whether the last steps still tell what is left. */
  get tells(): boolean {
    return this.vain < MOST_VAIN;
  }

  /** Whether any more are tried. */
  get able(): boolean {
    return this.tells && this.refused < MOST_REFUSED && this.made < MOST_MADE;
  }

  /** To be called where the map changes: steps before are not looked back on. */
  forget(): void {
    this.held = 0;
    this.before = null;
  }

  /**
   * In place of the relaxation of a projection (which then takes none): puts the shadows where the beams, or the last steps,
   * lead.
   */
  relax(relaxation: number): void {
    const { slot, products } = this;
    this.step(relaxation);
    this.multiply();
    const square = products[slot * SLOTS + slot];
    const last = this.older(1);
    if (this.before !== null && square > this.before) {
      this.refused++;
      this.forget();
      this.putBack(this.steps[last]);
      return;
    }
    const weights = this.held > 0 ? this.fit() : null;
    this.before = weights ? square : null;
    if (weights) this.combine(weights);
    else this.putBack(this.steps[slot]);
    this.slot = (slot + 1) % SLOTS;
    this.held = Math.min(MEMORY, this.held + 1);
  }

  /** Slot of the step k before the newest. */
  private older(k: number): number {
    return (this.slot + SLOTS - k) % SLOTS;
  }

  /** The plain step from the shadows as they are, and how far it leads. */
  private step(relaxation: number): void {
    const to = this.steps[this.slot];
    const residual = this.residuals[this.slot];
    const half = 0.5 * relaxation;
    const stay = 1 - half;
    let offset = 0;
    let sampled = 0;
    for (const part of this.parts) {
      const { shadow, pull, height, at, node } = part;
      const size = sizeOf(part);
      if (at || node)
        for (let n = 0; n < size; n++) {
          const k = at ? at[n] : n;
          to[offset + n] = stay * shadow[k] + relaxation * height[node ? node[n] : k] - half * pull[k];
        }
      else for (let k = 0; k < size; k++) to[offset + k] = stay * shadow[k] + relaxation * height[k] - half * pull[k];
      for (let n = 0; n < size; n += this.every) residual[sampled++] = to[offset + n] - shadow[at ? at[n] : n];
      offset += size;
    }
  }

  /** Products of the newest residual with all that are held; in one loop, since each sum waits for itself. */
  private multiply(): void {
    const { residuals, products, slot, held } = this;
    const of = (k: number) => residuals[this.older(k <= held ? k : 0)];
    const [f0, f1, f2, f3, f4, f5] = [of(0), of(1), of(2), of(3), of(4), of(5)];
    let [s0, s1, s2, s3, s4, s5] = [0, 0, 0, 0, 0, 0];
    for (let n = 0; n < f0.length; n++) {
      const f = f0[n];
      s0 += f * f;
      s1 += f * f1[n];
      s2 += f * f2[n];
      s3 += f * f3[n];
      s4 += f * f4[n];
      s5 += f * f5[n];
    }
    [s0, s1, s2, s3, s4, s5].forEach((sum, k) => {
      if (k > held) return;
      const other = this.older(k);
      products[slot * SLOTS + other] = products[other * SLOTS + slot] = sum;
    });
  }

  private putBack(from: Float64Array): void {
    let offset = 0;
    for (const part of this.parts) {
      const { shadow, at } = part;
      const size = sizeOf(part);
      if (at) for (let n = 0; n < size; n++) shadow[at[n]] = from[offset + n];
      else shadow.set(from.subarray(offset, offset + size));
      offset += size;
    }
  }

  /** Weights of the remembered steps, the newest first; null where they tell too little of the residual. */
  private fit(): Float64Array | null {
    const { held } = this;
    const product = (a: number, b: number) => this.products[this.older(a) * SLOTS + this.older(b)];
    const newest = product(0, 0);
    const matrix = new Float64Array(held * held);
    const weights = new Float64Array(held + 1);
    let trace = 0;
    for (let r = 0; r < held; r++) {
      weights[r + 1] = newest - product(0, r + 1);
      for (let c = 0; c < held; c++)
        matrix[r * held + c] = newest - product(0, r + 1) - product(0, c + 1) + product(r + 1, c + 1);
      trace += matrix[r * held + r];
    }
    for (let r = 0; r < held; r++) matrix[r * held + r] += RIDGE * trace;
    if (!solveInPlace(matrix, weights.subarray(1))) return null;
    weights[0] = 1;
    for (let k = 1; k <= held; k++) weights[0] -= weights[k];
    let left = 0;
    for (let a = 0; a <= held; a++) for (let b = 0; b <= held; b++) left += weights[a] * weights[b] * product(a, b);
    const share = left / newest;
    if (share > MOST_LEFT ** 2) {
      this.vain += share;
      return null;
    }
    this.vain = 0;
    this.made++;
    return weights;
  }

  private combine(weights: Float64Array): void {
    let offset = 0;
    for (const part of this.parts) {
      const { shadow, at } = part;
      const size = sizeOf(part);
      for (let k = 0; k < weights.length; k++) {
        const step = this.steps[this.older(k)];
        const w = weights[k];
        for (let n = 0; n < size; n++) {
          const m = at ? at[n] : n;
          shadow[m] = (k === 0 ? 0 : shadow[m]) + w * step[offset + n];
        }
      }
      offset += size;
    }
  }
}

/** Solves a small symmetric positive definite system, rows after one another; false where it is not. */
function solveInPlace(matrix: Float64Array, right: Float64Array): boolean {
  const n = right.length;
  for (let p = 0; p < n; p++) {
    const pivot = matrix[p * n + p];
    if (!(pivot > 0)) return false;
    for (let r = p + 1; r < n; r++) {
      const w = matrix[r * n + p] / pivot;
      for (let c = p; c < n; c++) matrix[r * n + c] -= w * matrix[p * n + c];
      right[r] -= w * right[p];
    }
  }
  for (let p = n - 1; p >= 0; p--) {
    for (let c = p + 1; c < n; c++) right[p] -= matrix[p * n + c] * right[c];
    right[p] /= matrix[p * n + p];
  }
  return true;
}
