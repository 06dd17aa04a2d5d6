import type { CurveField } from '#engine/cloth/clothTypes.ts';
import type { ClothFixture } from './clothFixtures.ts';
import type { Stretch } from './walkProbe.ts';

/** Straight pieces that a thread's centre line is laid out in from crossing to crossing. */
const PIECES = 32;
/** Along a stretch, looks so far apart, mm. */
const LOOK_MM = 0.01;
/** Threads farther off than this are not looked at, mm. */
const FAR_MM = 0.5;
/** Over which the way out is told from places on both sides, mm. */
const SLOPE_MM = 1e-3;

interface Reach {
  readonly owner: number;
  readonly radiusMm: number;
  /** Of its centre line, mm: x, y, z of each place in turn. */
  readonly line: Float64Array;
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** How far outside a thread a place is, or a stretch keeps at least, and which (row * 2, or end * 2 + 1; -1: none near by). */
export interface Clearance {
  /** Below 0 within the thread: how deep. Of anything farther than half a millimetre, so much. */
  readonly mm: number;
  readonly owner: number;
}

/**
 * Round threads of even thickness by what they are: all places nearer to the centre line than the radius. The line is laid out from
 * `CurveField`'s definition (without wraps), and each stretch is looked at every hundredth of a millimetre where that may matter: slow,
 * and shares nothing with the walk.
 */
export class RoundThreads {
  private readonly reaches: readonly Reach[];

  /** @param cloth rows from edge to edge, one at each height */
  constructor({ problem, geometry }: ClothFixture) {
    const reaches: Reach[] = [];
    const { endXMm, rowYMm, periodEnds, periodRows } = geometry;
    const node = (row: number, end: number) => (row % periodRows) * periodEnds + (end % periodEnds);
    for (let row = 0; row < problem.rows; row++) {
      for (let end = 0; end < problem.ends; end++) {
        const rows = problem.yarns[problem.rowYarn[row]];
        const ends = problem.yarns[problem.endYarn[end]];
        if (end + 1 < problem.ends) {
          const [x, pitch] = [endXMm[end], endXMm[end + 1] - endXMm[end]];
          const centre = centreLine(geometry.weft, node(row, end), node(row, end + 1), pitch);
          const line = centre.flatMap(([along, side, up]) => [x + along, rowYMm[row] + side, up]);
          reaches.push(reachOf(row * 2, rows.contactHeightMm / 2, line));
        }
        if (row + 1 < problem.rows) {
          const [y, pitch] = [rowYMm[row], rowYMm[row + 1] - rowYMm[row]];
          const centre = centreLine(geometry.warp, node(row, end), node(row + 1, end), pitch);
          const line = centre.flatMap(([along, side, up]) => [endXMm[end] + side, y + along, up]);
          reaches.push(reachOf(end * 2 + 1, ends.contactHeightMm / 2, line));
        }
      }
    }
    this.reaches = reaches;
  }

  /** Of all places along a stretch the least clear one. @param counts the threads that count; all by default */
  along({ from, direction, lengthMm }: Stretch, counts: (owner: number) => boolean = () => true): Clearance {
    let least: Clearance = { mm: Number.POSITIVE_INFINITY, owner: -1 };
    let atMm = 0;
    for (;;) {
      const clear = this.at(placeOn(from, direction, atMm), counts);
      if (clear.mm < least.mm) least = clear;
      if (atMm >= lengthMm) return least;
      // A place is clearer than another by no more than they lie apart, so nothing less clear lies before this.
      atMm = Math.min(lengthMm, atMm + Math.max(LOOK_MM, clear.mm - least.mm));
    }
  }

  at(place: readonly number[], counts: (owner: number) => boolean = () => true): Clearance {
    let mm = FAR_MM;
    let owner = -1;
    for (const reach of this.reaches) {
      if (!counts(reach.owner)) continue;
      if (place.some((x, axis) => x < reach.low[axis] - mm || x > reach.high[axis] + mm)) continue;
      const clear = distanceFrom(reach.line, place) - reach.radiusMm;
      if (clear >= mm) continue;
      mm = clear;
      owner = reach.owner;
    }
    return { mm, owner };
  }

  /** The way out of the nearest thread that counts, from a place on its surface; of unit length. */
  normalAt(place: readonly number[], counts: (owner: number) => boolean): [number, number, number] {
    const rates = [0, 1, 2].map((axis) => {
      const [ahead, behind] = [SLOPE_MM, -SLOPE_MM].map((step) => place.map((x, k) => (k === axis ? x + step : x)));
      return this.at(ahead, counts).mm - this.at(behind, counts).mm;
    });
    return rates.map((rate) => rate / Math.hypot(...rates)) as [number, number, number];
  }
}

/** A place `atMm` along a ray. */
export function placeOn(from: readonly number[], direction: readonly number[], atMm: number): [number, number, number] {
  return [0, 1, 2].map((axis) => from[axis] + atMm * direction[axis]) as [number, number, number];
}

function centreLine(f: CurveField, k0: number, k1: number, pitch: number): [number, number, number][] {
  const hermite = (v: Float32Array | Float64Array, slope: Float32Array | Float64Array, u: number) =>
    (2 * u ** 3 - 3 * u ** 2 + 1) * v[k0] +
    (u ** 3 - 2 * u ** 2 + u) * pitch * slope[k0] +
    (3 * u ** 2 - 2 * u ** 3) * v[k1] +
    (u ** 3 - u ** 2) * pitch * slope[k1];
  return Array.from({ length: PIECES + 1 }, (_, k) => {
    const u = k / PIECES;
    return [u * pitch, hermite(f.offsetMm, f.offsetSlope, u), hermite(f.heightMm, f.slope, u)];
  });
}

function reachOf(owner: number, radiusMm: number, line: readonly number[]): Reach {
  const axes = [0, 1, 2].map((axis) => line.filter((_, k) => k % 3 === axis));
  return {
    owner,
    radiusMm,
    line: Float64Array.from(line),
    low: axes.map((values) => Math.min(...values) - radiusMm),
    high: axes.map((values) => Math.max(...values) + radiusMm),
  };
}

function distanceFrom(line: Float64Array, [x, y, z]: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k + 5 < line.length; k += 3) {
    const [bx, by, bz] = [line[k + 3] - line[k], line[k + 4] - line[k + 1], line[k + 5] - line[k + 2]];
    const [ax, ay, az] = [x - line[k], y - line[k + 1], z - line[k + 2]];
    const share = Math.max(0, Math.min(1, (ax * bx + ay * by + az * bz) / (bx * bx + by * by + bz * bz)));
    const [px, py, pz] = [ax - share * bx, ay - share * by, az - share * bz];
    least = Math.min(least, px * px + py * py + pz * pz);
  }
  return Math.sqrt(least);
}
