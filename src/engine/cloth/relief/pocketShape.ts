import { type LayerMap, Side } from './layerMap.ts';
import type { Passes, Pockets } from './pockets.ts';

export interface PocketShapes {
  /** Per crossing, 0 at a pocket's edge .. 1 at its highest place. */
  readonly rise: Float32Array;
  /** Per pocket: span (mm) of the stripe that would have its highest place; 0 where nothing bounds it. */
  readonly spanMm: Float64Array;
  /** Per pocket: means over its crossings of half the squared slope of `rise`, across and along, 1/mm². */
  readonly across: Float64Array;
  readonly along: Float64Array;
}

const TOLERANCE = 1e-4;
const MOST_PASSES = 600;
/** Where one layer goes over into the other, the edge lies half way between two threads; a stitch lies on its thread. */
const CHANGE_OVER = 0.5;

/**
 * What form pockets take: −Δu = 1 with u = 0 along their edges (a membrane blown up a little), and of that
 * cos(π/2 √(1 − u/u_max)), which for a stripe is half a sine exactly. Solved by successive over-relaxation to a
 * thousandth. Pauses after every pass.
 * @param pitchXMm of each space to the right of an end, pitchYMm above a row; the last ones close a repeat
 */
export function* pocketShapes(
  map: LayerMap,
  { pocketOf, count, passes }: Pockets & { readonly passes: Passes },
  pitchXMm: Float64Array,
  pitchYMm: Float64Array,
  repeats: boolean,
): Generator<void, PocketShapes> {
  const { rows, ends, rowSide } = map;
  const size = rows * ends;
  const meanX = pitchXMm.reduce((sum, p) => sum + p, 0) / pitchXMm.length;
  const meanY = pitchYMm.reduce((sum, p) => sum + p, 0) / pitchYMm.length;
  const cells: number[] = [];
  for (let k = 0; k < size; k++) if (pocketOf[k] >= 0) cells.push(k);
  const bounded = new Uint8Array(count);
  // Neighbours right, left, above, below: −1 where the pocket ends, with the conductance to its edge or to them.
  const neighbour = new Int32Array(4 * cells.length);
  const weight = new Float64Array(4 * cells.length);
  const sums = new Float64Array(cells.length);
  cells.forEach((k, n) => {
    const row = Math.floor(k / ends);
    const end = k % ends;
    const ways = [
      [end + 1 < ends ? k + 1 : repeats ? row * ends : -1, true],
      [end > 0 ? k - 1 : repeats ? row * ends + ends - 1 : -1, true],
      [row + 1 < rows ? k + ends : repeats ? end : -1, false],
      [row > 0 ? k - ends : repeats ? (rows - 1) * ends + end : -1, false],
    ] as const;
    ways.forEach(([to, alongWeft], way) => {
      const pitch = alongWeft ? meanX : meanY;
      const goesOn = to >= 0 && passes(k, to, alongWeft);
      const reach = goesOn || to < 0 || rowSide[to] === Side.none ? 1 : CHANGE_OVER;
      if (!goesOn) bounded[pocketOf[k]] = 1;
      neighbour[4 * n + way] = goesOn ? to : -1;
      weight[4 * n + way] = 1 / (pitch * pitch * reach);
      sums[n] += weight[4 * n + way];
    });
  });
  const u = new Float64Array(size);
  const most = new Float64Array(count);
  const omega = 2 / (1 + Math.sin(Math.PI / Math.max(4, Math.min(200, Math.sqrt(cells.length / Math.max(1, count))))));
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    let moved = 0;
    most.fill(0);
    for (let n = 0; n < cells.length; n++) {
      const k = cells[n];
      const pocket = pocketOf[k];
      if (!bounded[pocket]) continue;
      let sum = 1;
      for (let way = 4 * n; way < 4 * n + 4; way++) if (neighbour[way] >= 0) sum += weight[way] * u[neighbour[way]];
      const step = omega * (sum / sums[n] - u[k]);
      u[k] += step;
      if (u[k] > most[pocket]) most[pocket] = u[k];
      const share = Math.abs(step) / (most[pocket] || 1);
      if (share > moved) moved = share;
    }
    if (moved < TOLERANCE) break;
    yield;
  }
  const rise = new Float32Array(size);
  for (const k of cells) {
    const top = most[pocketOf[k]];
    if (top > 0) rise[k] = Math.cos((Math.PI / 2) * Math.sqrt(Math.max(0, 1 - u[k] / top)));
  }
  const sumsOf = { across: new Float64Array(count), along: new Float64Array(count) };
  const countOf = { across: new Float64Array(count), along: new Float64Array(count) };
  cells.forEach((k, n) => {
    const pocket = pocketOf[k];
    for (let way = 0; way < 4; way++) {
      const axis = way < 2 ? 'across' : 'along';
      const pitch = way < 2 ? meanX : meanY;
      const to = neighbour[4 * n + way];
      const reach = 1 / (weight[4 * n + way] * pitch * pitch);
      const slope = ((to >= 0 ? rise[to] : 0) - rise[k]) / (pitch * reach);
      // A space within is half of either thread's; the one to an edge is its own.
      const share = to >= 0 ? 0.5 : reach;
      sumsOf[axis][pocket] += 0.5 * slope * slope * share;
      countOf[axis][pocket] += share;
    }
  });
  const meansOf = (axis: 'across' | 'along') => sumsOf[axis].map((sum, pocket) => sum / (countOf[axis][pocket] || 1));
  return { rise, spanMm: most.map((top) => Math.sqrt(8 * top)), across: meansOf('across'), along: meansOf('along') };
}
