import { type PanelSize, type Pose, screenPointOf } from './pose.ts';

/** Which way a ribbon runs: picks up the panel's side, ends along its top. */
export type RibbonAxis = 'picks' | 'ends';

/**
 * Boundaries between neighbouring threads as they stand on the ribbon, px along it from the panel's top left corner:
 * thread i lies between `out[i]` and `out[i + 1]`. Boundaries lie half way between centres; the outermost are as far
 * out as the nearest inner ones. The ribbon follows the line through the middle of the panel, so it scrolls, scales
 * and turns with the cloth. `out` must hold one more than `positionsMm`.
 */
export function ribbonBoundaries(
  out: Float32Array,
  positionsMm: ArrayLike<number>,
  axis: RibbonAxis,
  pose: Pose,
  size: PanelSize,
): Float32Array {
  const count = positionsMm.length;
  for (let i = 0; i <= count; i++) out[i] = ribbonPx(boundaryMm(positionsMm, i), axis, pose, size);
  return out;
}

/** Boundary i between the threads at `positionsMm`, mm. */
function boundaryMm(positionsMm: ArrayLike<number>, i: number): number {
  const count = positionsMm.length;
  if (count < 2) return (positionsMm[0] ?? 0) + (i === 0 ? -0.5 : 0.5);
  if (i === 0) return 1.5 * positionsMm[0] - 0.5 * positionsMm[1];
  if (i === count) return 1.5 * positionsMm[count - 1] - 0.5 * positionsMm[count - 2];
  return 0.5 * (positionsMm[i - 1] + positionsMm[i]);
}

export function ribbonPx(mm: number, axis: RibbonAxis, pose: Pose, size: PanelSize): number {
  return axis === 'picks'
    ? screenPointOf(pose, size, pose.targetXMm, mm).yPx
    : screenPointOf(pose, size, mm, pose.targetYMm).xPx;
}

/** The thread whose strip holds a place on the ribbon; the nearest where the place lies beyond the cloth. */
export function threadAt(boundaries: Float32Array, count: number, px: number): number {
  const rising = boundaries[count] >= boundaries[0];
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    const beyond = rising ? px >= boundaries[middle + 1] : px < boundaries[middle + 1];
    if (beyond) low = middle + 1;
    else high = middle;
  }
  return low;
}

const steps = [1, 2, 5];

/** Every how many threads a number is written, so that numbers stand at least `leastPx` apart: 1, 2, 5, 10, 20 … */
export function numberEvery(meanPitchPx: number, leastPx: number): number {
  const needed = leastPx / Math.max(meanPitchPx, 1e-6);
  let decade = 1;
  for (;;) {
    for (const step of steps) if (step * decade >= needed) return step * decade;
    decade *= 10;
    if (decade > 1e9) return decade;
  }
}
