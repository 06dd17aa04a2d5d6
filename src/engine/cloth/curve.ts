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

/** A place of a centre line, and how it goes on there, per mm along the thread. */
export interface CurvePoint {
  height: number;
  slope: number;
  bend: number;
  offset: number;
  offsetSlope: number;
  offsetBend: number;
}

export function createCurvePoint(): CurvePoint {
  return { height: 0, slope: 0, bend: 0, offset: 0, offsetSlope: 0, offsetBend: 0 };
}

/** Height, offset and how they change at a place of the same thread, to `out`. */
export function curvePoint(
  out: CurvePoint,
  field: CurveField,
  from: number,
  to: number,
  pitchMm: number,
  u: number,
): void {
  const perMm = 1 / pitchMm;
  const z0 = field.heightMm[from];
  const z1 = field.slope[from] * pitchMm;
  const zEnd = field.slope[to] * pitchMm;
  const rise = field.heightMm[to] - z0;
  const z2 = 3 * rise - 2 * z1 - zEnd;
  const z3 = z1 + zEnd - 2 * rise;
  const start = field.wrapStartMm[from];
  const change = field.wrapEndMm[from] - start;
  const q = u * (1 - u);
  const q1 = 1 - 2 * u;
  const wrap = start + u * change;
  out.height = z0 + u * (z1 + u * (z2 + u * z3)) + q * q * wrap;
  out.slope = (z1 + u * (2 * z2 + 3 * u * z3) + 2 * q * q1 * wrap + q * q * change) * perMm;
  out.bend = (2 * z2 + 6 * u * z3 + (2 * q1 * q1 - 4 * q) * wrap + 4 * q * q1 * change) * perMm * perMm;
  const o0 = field.offsetMm[from];
  const o1 = field.offsetSlope[from] * pitchMm;
  const oEnd = field.offsetSlope[to] * pitchMm;
  const across = field.offsetMm[to] - o0;
  const o2 = 3 * across - 2 * o1 - oEnd;
  const o3 = o1 + oEnd - 2 * across;
  out.offset = o0 + u * (o1 + u * (o2 + u * o3));
  out.offsetSlope = (o1 + u * (2 * o2 + 3 * u * o3)) * perMm;
  out.offsetBend = (2 * o2 + 6 * u * o3) * perMm * perMm;
}

/** A rule of Gauss–Legendre quadrature on 0..1, from half distances off the middle and their weights. */
function gaussRule(offMiddle: readonly number[], weights: readonly number[]) {
  const both = offMiddle.flatMap((off, k) =>
    off === 0
      ? [[0, weights[k]]]
      : [
          [-off, weights[k]],
          [off, weights[k]],
        ],
  );
  return { at: both.map(([off]) => 0.5 + off), weight: both.map(([, weight]) => weight) };
}
/** Exact to degree 5, and to 15. */
const FEW = gaussRule([0, 0.3872983346207], [4 / 9, 5 / 18]);
const MANY = gaussRule(
  [0.0917173212478, 0.2627662049582, 0.3983332387068, 0.4801449282488],
  [0.1813418916892, 0.1568533229389, 0.1111905172267, 0.0506142681452],
);
/** Mean slope up to which three points measure a segment within 5e-4 of its pitch. */
const GENTLE = 0.2;

/** Length of the thread between two nodes, mm; within 2e-3 of the pitch up to wraps of four times the rise. */
export function curveLength(field: CurveNodes, from: number, to: number, pitchMm: number): number {
  const { heightMm, slope, wrapStartMm, wrapEndMm } = field;
  const rise = Math.abs(heightMm[to] - heightMm[from]) + (Math.abs(wrapStartMm[from]) + Math.abs(wrapEndMm[from])) / 4;
  const meanSlope = rise / pitchMm + (Math.abs(slope[from]) + Math.abs(slope[to])) / 2;
  const { at, weight } = meanSlope < GENTLE ? FEW : MANY;
  let sum = 0;
  for (let g = 0; g < at.length; g++) {
    const slopeThere = curveSlope(field, from, to, pitchMm, at[g]);
    sum += weight[g] * Math.sqrt(1 + slopeThere * slopeThere);
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
