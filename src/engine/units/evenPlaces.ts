// Places that fill a line or the unit square evenly for any count, and keep step with no repeat and no thread edge: the R2
// sequence, whose steps are the inverse powers of the plastic number (M. Roberts 2018). The shaders hold the same two numbers.
const STEP_X = 0.7548776662466927;
const STEP_Y = 0.5698402909980532;

/** Across, in [0, 1), of the k-th place. */
export function evenX(k: number): number {
  return (0.5 + k * STEP_X) % 1;
}

/** Up, in [0, 1), of the k-th place. */
export function evenY(k: number): number {
  return (0.5 + k * STEP_Y) % 1;
}

/** Steps of golden-ratio selection along a line: whatever is chosen by them is spread evenly and falls in step with no repeat. */
export const GOLDEN = 0.6180339887498949;
