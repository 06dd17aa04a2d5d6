import type { CurveField } from '#engine/cloth/clothTypes.ts';

/** Nodes of centre lines, as a field or a solution holds them; see `CurveField`. */
export interface CurveNodes {
  readonly heightMm: ArrayLike<number>;
  readonly slope: ArrayLike<number>;
  readonly wrapStartMm: ArrayLike<number>;
  readonly wrapEndMm: ArrayLike<number>;
}

/** How the step between the sections at a segment's nodes goes, 0..1; see `CurveField`. */
export const sectionStep = (u: number): number => u * u * (3 - 2 * u);

/**
 * Centre line of a thread between two nodes of its field; see `CurveField` for the equation.
 * @param from index of the segment's first node, `to` of its last
 * @param pitchMm distance of the nodes
 * @param u 0..1
 */
export function curveHeight(field: CurveNodes, from: number, to: number, pitchMm: number, u: number): number {
  const v = 1 - u;
  const uv = u * v;
  return (
    v * v * (1 + 2 * u) * field.heightMm[from] +
    u * u * (3 - 2 * u) * field.heightMm[to] +
    pitchMm * uv * (v * field.slope[from] - u * field.slope[to]) +
    uv * uv * (v * field.wrapStartMm[from] + u * field.wrapEndMm[from])
  );
}

/** Sideways offset of the same thread. */
export function curveOffset(field: CurveField, from: number, to: number, pitchMm: number, u: number): number {
  const v = 1 - u;
  return (
    v * v * (1 + 2 * u) * field.offsetMm[from] +
    u * u * (3 - 2 * u) * field.offsetMm[to] +
    pitchMm * u * v * (v * field.offsetSlope[from] - u * field.offsetSlope[to])
  );
}

/** dz/ds of the same curve, per mm along the thread. */
export function curveSlope(field: CurveNodes, from: number, to: number, pitchMm: number, u: number): number {
  const v = 1 - u;
  const uv = u * v;
  const blend = v * field.wrapStartMm[from] + u * field.wrapEndMm[from];
  const rise = 6 * uv * (field.heightMm[to] - field.heightMm[from]);
  const bend = 2 * uv * (v - u) * blend + uv * uv * (field.wrapEndMm[from] - field.wrapStartMm[from]);
  return (rise + bend) / pitchMm + v * (1 - 3 * u) * field.slope[from] + u * (3 * u - 2) * field.slope[to];
}

/** Abscissae and weights of three-point Gauss–Legendre quadrature on 0..1; exact to degree 5. */
const GAUSS_U = [0.5 - Math.sqrt(0.15), 0.5, 0.5 + Math.sqrt(0.15)];
const GAUSS_W = [5 / 18, 8 / 18, 5 / 18];

/** Length of the thread between two nodes, mm; within 1e-3 for slopes up to 1.5. */
export function curveLength(field: CurveNodes, from: number, to: number, pitchMm: number): number {
  let sum = 0;
  for (let g = 0; g < 3; g++) {
    const slope = curveSlope(field, from, to, pitchMm, GAUSS_U[g]);
    sum += GAUSS_W[g] * Math.sqrt(1 + slope * slope);
  }
  return pitchMm * sum;
}

/** Threads that run level along their own lines, at their contact sections throughout. */
export function levelField(count: number): CurveField {
  const zeros = () => new Float32Array(count);
  return {
    heightMm: zeros(),
    slope: zeros(),
    offsetMm: zeros(),
    offsetSlope: zeros(),
    wrapStartMm: zeros(),
    wrapEndMm: zeros(),
    widthFactor: zeros().fill(1),
    heightFactor: zeros().fill(1),
  };
}
