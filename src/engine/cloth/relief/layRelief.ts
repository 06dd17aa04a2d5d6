import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { mean } from '#engine/cloth/states/mean.ts';
import type { Reading } from '#engine/units/reading.ts';
import { sameValues } from '#engine/units/sameValues.ts';
import { type LayerMap, layerMap, Side, WINDOW } from './layerMap.ts';
import { hasNarrowLayers } from './narrowLayers.ts';
import { pocketHeightMm, solidBuckling } from './pocketLaw.ts';
import { type PocketShapes, pocketShapes } from './pocketShape.ts';
import { findPockets, type Pockets } from './pockets.ts';

/** What stands out of a cloth of two layers that are stitched to one another. */
export interface Relief {
  /**
   * Pockets in the repeat, or in the whole cloth where it has none; 0 where all are narrower than eight threads, which are not
   * laid: `spanMm` is then that of eight threads.
   */
  readonly pockets: number;
  /** How high the highest pocket stands; 0 where nothing makes one layer longer than the other. */
  readonly heightMm: Reading;
  /** Span of that pocket, or of the widest where none stands. */
  readonly spanMm: number;
  /** How much longer its layer is than the other, as a share: across and along the cloth. */
  readonly excessAcross: number;
  readonly excessAlong: number;
  readonly side: 'face' | 'back';
  /** Wadding picks between the layers, by which each of them is pushed out. */
  readonly waddingMm: number;
  /** Of both systems of one layer, one over the other. */
  readonly layerMm: number;
}

/** What threads have over in a state: length of each that the cloth does not take up, as a share. */
export interface ThreadsOver {
  /** Per row of the region. */
  readonly weft: Float64Array;
  /** Per end of the region. */
  readonly warp: Float64Array;
}

/** Shrinkage, laid stretch and let-off are known to about this share of themselves (80 %, estimate). */
const EXCESS_DOUBT = 0.4;
/** Less excess hides in the crimp. */
const LEAST_EXCESS = 0.002;
/** Form and slip of the layers: the law's own doubt (estimate). */
const LAW_DOUBT = 0.1;

interface Solved {
  readonly rows: number;
  readonly ends: number;
  readonly repeats: boolean;
  readonly pitchXMm: Float64Array;
  readonly pitchYMm: Float64Array;
}

interface Excess {
  readonly across: number;
  readonly along: number;
  readonly waddingMm: number;
  readonly layerMm: number;
}

const NOT_YET = { value: 0, low: 0, high: 0 };

/** Layers found for the lifts as they were: beat and yarns change nothing of them. */
export interface ReliefMemory {
  layers?: { readonly bits: Uint32Array; readonly map: LayerMap; readonly narrow: boolean };
}

/** How much longer the upper layer is than the lower within each pocket, and what lies between them. */
function excessOf(
  problem: ClothProblem,
  map: LayerMap,
  { pocketOf, count }: Pockets,
  over: ThreadsOver,
  pitchYMm: number,
): Excess[] {
  const sums = Array.from({ length: count }, () => ({
    rows: [0, 0, 0, 0],
    rowOver: [0, 0, 0, 0],
    ends: [0, 0, 0, 0],
    endOver: [0, 0, 0, 0],
    between: 0,
    thick: 0,
    cells: 0,
  }));
  const { yarns, rowYarn, endYarn } = problem;
  for (let k = 0; k < pocketOf.length; k++) {
    const sum = sums[pocketOf[k]];
    if (!sum) continue;
    const row = Math.floor(k / map.ends);
    const end = k % map.ends;
    const [rowSide, endSide] = [map.rowSide[k], map.endSide[k]];
    const weft = yarns[rowYarn[row]];
    sum.rows[rowSide]++;
    sum.rowOver[rowSide] += over.weft[row];
    sum.ends[endSide]++;
    sum.endOver[endSide] += over.warp[end];
    if (rowSide === Side.between) sum.between += (weft.contactHeightMm * weft.contactWidthMm * Math.PI) / 4;
    sum.thick += weft.contactHeightMm + yarns[endYarn[end]].contactHeightMm;
    sum.cells++;
  }
  const difference = (count: number[], total: number[]): number =>
    count[Side.upper] > 0 && count[Side.lower] > 0
      ? total[Side.upper] / count[Side.upper] - total[Side.lower] / count[Side.lower]
      : 0;
  return sums.map(({ rows, rowOver, ends, endOver, between, thick, cells }) => ({
    across: difference(rows, rowOver),
    along: difference(ends, endOver),
    // Area of wadding to a row's room: how thick it lies if it is spread evenly.
    waddingMm: between / cells / pitchYMm,
    layerMm: thick / cells,
  }));
}

/**
 * Height to which a pocket's longer layer stands: of the stretch that its form asks of both systems, ½(hφ')² on average, and
 * of what each has over, the h² that misses both least (equal stiffness both ways). A long pocket is the stripe of
 * {@link pocketHeightMm}.
 */
function heightOf(shapes: PocketShapes, pocket: number, across: number, along: number): number {
  const a = shapes.across[pocket];
  const b = shapes.along[pocket];
  const squared = (a * across + b * along) / (a * a + b * b || 1);
  return Math.sign(squared) * Math.sqrt(Math.abs(squared));
}

/**
 * Finds the pockets of a cloth of two layers and lets the longer layer of each stand out: up on the face, down on the
 * back. Heights and slopes of its threads are changed in place; they leave the other layer, so nothing is run into.
 * Wadding stands in the heights already. Undefined where the cloth nowhere falls into layers that are stitched.
 * Pauses now and then.
 */
export function* layRelief(
  problem: ClothProblem,
  solved: Solved,
  warp: CurveField,
  weft: CurveField,
  over: ThreadsOver,
  memory: ReliefMemory = {},
): Generator<void, { readonly relief: Relief; readonly weftUsed: Float64Array } | undefined> {
  const { rows, ends, repeats, pitchXMm, pitchYMm } = solved;
  const { drawdown } = problem;
  const before = memory.layers;
  const known = before?.map.rows === rows && before.map.ends === ends && sameValues(before.bits, drawdown.bits);
  const map = known && before ? before.map : yield* layerMap(drawdown, rows, ends, repeats);
  const narrow =
    known && before ? before.narrow : !map.layered && (yield* hasNarrowLayers(drawdown, rows, ends, repeats));
  memory.layers = { bits: drawdown.bits, map, narrow };
  const pockets = findPockets(map, repeats);
  if (pockets.count === 0)
    return narrow ? { relief: tooNarrow(problem, solved), weftUsed: new Float64Array(rows) } : undefined;
  const shapes = yield* pocketShapes(map, pockets, pitchXMm, pitchYMm, repeats);
  const meanPitchMm = pitchYMm.reduce((sum, p) => sum + p, 0) / pitchYMm.length;
  const excess = excessOf(problem, map, pockets, over, meanPitchMm);
  const height = new Float64Array(pockets.count);
  let best = -1;
  let widest = 0;
  let bound = 0;
  for (let pocket = 0; pocket < pockets.count; pocket++) {
    if (!(shapes.spanMm[pocket] > 0)) continue;
    bound++;
    const { across, along } = excess[pocket];
    if (Math.max(Math.abs(across), Math.abs(along)) > LEAST_EXCESS)
      height[pocket] = heightOf(shapes, pocket, across, along);
    if (best < 0 || Math.abs(height[pocket]) > Math.abs(height[best])) best = pocket;
    if (shapes.spanMm[pocket] > shapes.spanMm[widest]) widest = pocket;
  }
  if (bound === 0) return undefined;
  const standing = height[best] !== 0;
  const weftUsed = new Float64Array(rows);
  if (standing) raise(map, pockets, shapes.rise, height, excess, solved, warp, weft, weftUsed);
  const shown = standing ? best : widest;
  const { across, along, waddingMm, layerMm } = excess[shown];
  const spanMm = shapes.spanMm[shown];
  const reading = (value: number): Reading => {
    // From a layer that bends as a solid to one that is as much longer as may be.
    const scale = pocketHeightMm(spanMm, 1);
    const share = (value / scale) ** 2;
    const least = Math.max(0, share * (1 - EXCESS_DOUBT) - solidBuckling(layerMm, spanMm));
    return {
      value,
      low: scale * Math.sqrt(least) * (1 - LAW_DOUBT),
      high: scale * Math.sqrt(share * (1 + EXCESS_DOUBT)) * (1 + LAW_DOUBT),
    };
  };
  const relief: Relief = {
    pockets: bound,
    heightMm: standing ? reading(Math.abs(height[best])) : NOT_YET,
    spanMm,
    excessAcross: Math.abs(across),
    excessAlong: Math.abs(along),
    side: height[best] < 0 ? 'back' : 'face',
    waddingMm,
    layerMm,
  };
  return { relief, weftUsed };
}

/** What is told of pockets under eight threads: two threads of one layer across another two are no bent plate. */
function tooNarrow({ yarns, rowYarn, endYarn }: ClothProblem, { pitchXMm, pitchYMm }: Solved): Relief {
  const heightOfAll = (threads: Uint16Array) => mean(Float64Array.from(threads, (yarn) => yarns[yarn].contactHeightMm));
  return {
    pockets: 0,
    heightMm: NOT_YET,
    spanMm: WINDOW * Math.max(mean(pitchXMm), mean(pitchYMm)),
    excessAcross: 0,
    excessAlong: 0,
    side: 'face',
    waddingMm: 0,
    layerMm: heightOfAll(rowYarn) + heightOfAll(endYarn),
  };
}

function raise(
  map: LayerMap,
  { pocketOf }: Pockets,
  rise: Float32Array,
  height: Float64Array,
  excess: readonly Excess[],
  { rows, ends, repeats, pitchXMm, pitchYMm }: Solved,
  warp: CurveField,
  weft: CurveField,
  weftUsed: Float64Array,
): void {
  /** Where the thread of a crossing lies, if its layer is the one that stands; 0 elsewhere. */
  const lift = (k: number, side: number): number => {
    const pocket = pocketOf[k];
    if (pocket < 0) return 0;
    const stands = height[pocket] > 0 ? Side.upper : Side.lower;
    return side === stands ? height[pocket] * rise[k] : 0;
  };
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      const k = row * ends + end;
      const right = row * ends + (end + 1 < ends ? end + 1 : repeats ? 0 : end);
      const left = row * ends + (end > 0 ? end - 1 : repeats ? ends - 1 : end);
      const above = (row + 1 < rows ? row + 1 : repeats ? 0 : row) * ends + end;
      const below = (row > 0 ? row - 1 : repeats ? rows - 1 : row) * ends + end;
      const wide = (left === k ? 0 : pitchXMm[left % ends]) + (right === k ? 0 : pitchXMm[end]);
      const tall = (below === k ? 0 : pitchYMm[Math.floor(below / ends)]) + (above === k ? 0 : pitchYMm[row]);
      const weftLift = lift(k, map.rowSide[k]);
      const warpLift = lift(k, map.endSide[k]);
      weft.heightMm[k] += weftLift;
      warp.heightMm[k] += warpLift;
      if (wide > 0) weft.slope[k] += (lift(right, map.rowSide[right]) - lift(left, map.rowSide[left])) / wide;
      if (tall > 0) warp.slope[k] += (lift(above, map.endSide[above]) - lift(below, map.endSide[below])) / tall;
      if (weftLift !== 0) weftUsed[row] += Math.abs(excess[pocketOf[k]].across) / ends;
    }
  }
}
