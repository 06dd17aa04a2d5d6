import type { CurveField } from '#engine/cloth/clothTypes.ts';
import { curveHeight } from '#engine/cloth/curve.ts';
import type { HeightsOptions, HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';

export type Weave = (row: number, end: number) => boolean;

export interface ClothSpec {
  readonly rows: number;
  readonly ends: number;
  readonly weave: Weave;
  readonly boundary?: 'periodic' | 'mirrored';
  /** Spacing of ends, and of rows, mm. */
  readonly p1?: number;
  readonly p2?: number;
  readonly B1?: number;
  readonly B2?: number;
  /** T·p²/B of warp and weft, p the spacing that the thread spans. */
  readonly warpTightness?: number;
  readonly weftTightness?: number;
  readonly warpDiameter?: number;
  readonly weftDiameter?: number;
}

/** A cloth of round yarns, all ends alike and all rows alike. */
export function evenCloth(spec: ClothSpec): HeightsProblem {
  const { rows, ends, p1 = 1, p2 = 1, B1 = 1, B2 = 1, warpTightness = 0, weftTightness = 0 } = spec;
  const { warpDiameter = 0.4, weftDiameter = 0.4 } = spec;
  const drawdown = createDrawdown(rows, ends);
  for (let j = 0; j < rows; j++) for (let i = 0; i < ends; i++) setWarpUp(drawdown, j, i, spec.weave(j, i));
  const perEnd = (value: number) => new Float64Array(ends).fill(value);
  const perRow = (value: number) => new Float64Array(rows).fill(value);
  return {
    rows,
    ends,
    drawdown,
    rowFirst: new Uint32Array(rows),
    rowLast: new Uint32Array(rows).fill(ends - 1),
    endXMm: Float64Array.from({ length: ends }, (_, i) => i * p1),
    rowYMm: Float64Array.from({ length: rows }, (_, j) => j * p2),
    boundary: spec.boundary ?? 'periodic',
    periodXMm: ends * p1,
    periodYMm: rows * p2,
    endBendingNmm2: perEnd(B1),
    rowBendingNmm2: perRow(B2),
    endTensionN: perEnd((warpTightness * B1) / p2 ** 2),
    rowTensionN: perRow((weftTightness * B2) / p1 ** 2),
    endHalfHeightMm: perEnd(warpDiameter / 2),
    rowHalfHeightMm: perRow(weftDiameter / 2),
    endHalfWidthMm: perEnd(warpDiameter / 2),
    rowHalfWidthMm: perRow(weftDiameter / 2),
  };
}

export function solve(problem: HeightsProblem, options: HeightsOptions = {}): HeightsSolution {
  return finish(solveHeights(problem, options));
}

/** Small-slope theory as the literature has it: hardly any confinement, upright contacts, the solver's full accuracy. */
export const THEORY: HeightsOptions = {
  confinementShare: 1e-9,
  tiltedContacts: false,
  tolerance: 1e-8,
  errorTolerance: 1e-8,
  maxIterations: 20_000,
};

/** xorshift32 (G. Marsaglia 2003), 0..1. */
export function xorshift(seed: number): () => number {
  let x = seed;
  return () => {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    return (x >>> 0) / 2 ** 32;
  };
}

const mod = (a: number, n: number) => ((a % n) + n) % n;

export const plain: Weave = (j, i) => (i + j) % 2 === 0;
export const twill22: Weave = (j, i) => mod(i - j, 4) < 2;
/** Each end over two rows and under two, neighbours opposite. */
export const warpRib22: Weave = (j, i) => ((j >> 1) + i) % 2 === 0;
export const satin8: Weave = (j, i) => mod(i - 3 * j, 8) !== 0;
export const satin5: Weave = (j, i) => mod(i - 2 * j, 5) !== 0;
/** Over n, under one, moved by one end a row. */
export const overNUnderOne =
  (n: number): Weave =>
  (j, i) =>
    mod(i - j, n + 1) !== 0;

/** Eight-end satins from weft-faced to warp-faced, as the tone asks: the way a picture is shaded. */
export const shadedSatin =
  (size: number): Weave =>
  (j, i) => {
    const tone = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size) * Math.cos((1.4 * Math.PI * j) / size);
    return mod(i - 3 * j, 8) < 1 + Math.round(6 * tone);
  };

/** Layers of plain weave one above another, ends and rows taken in turn. */
export const layersOfPlain =
  (layers: number): Weave =>
  (j, i) => {
    const above = i % layers;
    const below = j % layers;
    if (above !== below) return above < below;
    return (Math.floor(i / layers) + Math.floor(j / layers)) % 2 === 0;
  };

/** Largest difference of heights, as a share of D. */
export function largestDifference(a: HeightsSolution, b: HeightsSolution, D: number): number {
  let worst = 0;
  for (let k = 0; k < a.warpHeightMm.length; k++) {
    worst = Math.max(worst, Math.abs(a.warpHeightMm[k] - b.warpHeightMm[k]));
    worst = Math.max(worst, Math.abs(a.weftHeightMm[k] - b.weftHeightMm[k]));
  }
  return worst / D;
}

function field(height: Float64Array, slope: Float64Array, wrapStart: Float64Array, wrapEnd: Float64Array): CurveField {
  const none = new Float32Array(height.length);
  return {
    heightMm: height as unknown as Float32Array,
    slope: slope as unknown as Float32Array,
    wrapStartMm: wrapStart as unknown as Float32Array,
    wrapEndMm: wrapEnd as unknown as Float32Array,
    offsetMm: none,
    offsetSlope: none,
    widthFactor: none,
    heightFactor: none,
  };
}

/** Points of a drawn centre line on either side of a crossing: distance along the thread, height. */
export interface DrawnPoints {
  readonly along: Float64Array;
  readonly height: Float64Array;
}

/** The curves as the picture draws them, in double precision. */
export function drawnCurves(problem: HeightsProblem, s: HeightsSolution) {
  const { rows, ends } = problem;
  const warp = field(s.warpHeightMm, s.warpSlope, s.warpWrapStartMm, s.warpWrapEndMm);
  const weft = field(s.weftHeightMm, s.weftSlope, s.weftWrapStartMm, s.weftWrapEndMm);
  const sample = (
    curve: CurveField,
    at: (n: number) => number,
    position: (n: number) => number,
    node: number,
    count: number,
    perHalfWave: number,
  ): DrawnPoints => {
    const along: number[] = [];
    const height: number[] = [];
    for (const start of [node - 1, node]) {
      if (problem.boundary === 'mirrored' && (start < 0 || start + 1 >= count)) continue;
      const pitch = position(start + 1) - position(start);
      for (let q = 0; q <= perHalfWave; q++) {
        along.push(position(start) + (pitch * q) / perHalfWave - position(node));
        height.push(curveHeight(curve, at(start), at(start + 1), pitch, q / perHalfWave));
      }
    }
    return { along: Float64Array.from(along), height: Float64Array.from(height) };
  };
  const place = (positions: Float64Array, period: number | undefined, n: number) =>
    positions[mod(n, positions.length)] + Math.floor(n / positions.length) * (period ?? 0);
  return {
    warpAt: (row: number, end: number, perHalfWave: number) =>
      sample(
        warp,
        (n) => mod(n, rows) * ends + end,
        (n) => place(problem.rowYMm, problem.periodYMm, n),
        row,
        rows,
        perHalfWave,
      ),
    weftAt: (row: number, end: number, perHalfWave: number) =>
      sample(
        weft,
        (n) => row * ends + mod(n, ends),
        (n) => place(problem.endXMm, problem.periodXMm, n),
        end,
        ends,
        perHalfWave,
      ),
  };
}
