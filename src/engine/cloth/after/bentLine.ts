/** One bend of a thread that is straight on both sides of it. */
export interface LineBend {
  readonly xMm: number;
  /** By which the thread turns, above 0 where it stands up there. */
  readonly turnRad: number;
  readonly radiusMm: number;
}

export interface BentLine {
  /** At the places given. */
  readonly zMm: Float64Array;
  /** Steepest of its straight parts. */
  readonly steepestRad: number;
}

const HALVINGS = 50;
const STEEPEST = 0.49 * Math.PI;

/**
 * Heights of a stiff thread bent in arcs between straight parts, its two ends level at 0. On an arc the sine of the slope's angle
 * goes evenly with the place in plan, so dz = tan φ dx gives z = ∓R cos φ exactly.
 * @param bends in order of their places @param xMm places asked for, ascending; the first and last are the thread's ends
 */
export function bentLine(bends: readonly LineBend[], xMm: ArrayLike<number>): BentLine {
  const zMm = new Float64Array(xMm.length);
  // What is turned in all before each straight part, so that none of them ends up vertical.
  let turned = 0;
  let [least, most] = [0, 0];
  for (const { turnRad } of bends) {
    turned -= turnRad;
    least = Math.min(least, turned);
    most = Math.max(most, turned);
  }
  let low = -STEEPEST - least;
  let high = STEEPEST - most;
  if (low >= high) return { zMm, steepestRad: Math.PI / 2 };
  for (let step = 0; step < HALVINGS; step++) {
    const middle = (low + high) / 2;
    trace(bends, xMm, middle, zMm);
    if (zMm[zMm.length - 1] < 0) low = middle;
    else high = middle;
  }
  const start = (low + high) / 2;
  trace(bends, xMm, start, zMm);
  return { zMm, steepestRad: Math.max(Math.abs(start + least), Math.abs(start + most)) };
}

function trace(bends: readonly LineBend[], xMm: ArrayLike<number>, startRad: number, zMm: Float64Array): void {
  let x = xMm[0];
  let z = 0;
  let phi = startRad;
  let k = 0;
  const upTo = (end: number, heightAt: (place: number) => number) => {
    while (k < zMm.length && xMm[k] <= end) zMm[k] = heightAt(xMm[k++]);
    z = heightAt(end);
    x = end;
  };
  for (const { xMm: at, turnRad, radiusMm } of bends) {
    const [sin1, sin2] = [Math.sin(phi), Math.sin(phi - turnRad)];
    const wide = radiusMm * Math.abs(sin2 - sin1);
    const [x0, z0, slope] = [x, z, Math.tan(phi)];
    upTo(Math.max(x, at - wide / 2), (place) => z0 + slope * (place - x0));
    if (wide > 0) {
      const [from, level, cos1] = [x, z, Math.cos(phi)];
      const signed = wide / (sin2 - sin1);
      upTo(from + wide, (place) => {
        const sine = sin1 + (place - from) / signed;
        return level - signed * (Math.sqrt(1 - sine * sine) - cos1);
      });
    }
    phi -= turnRad;
  }
  const [x0, z0, slope] = [x, z, Math.tan(phi)];
  upTo(Number.POSITIVE_INFINITY, (place) => z0 + slope * (place - x0));
}
