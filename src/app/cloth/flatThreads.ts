import type { Side } from '#app/model/pose.ts';
import type { SampleCloth } from '#app/model/sampleCloth.ts';
import { type LinearRgb, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/** Where threads lie, with their colours, as they are drawn without thickness. */
export interface FlatThreads {
  readonly drawdown: Drawdown;
  readonly ends: FlatSystem;
  readonly rows: FlatSystem;
  /** First and last end that a row passes, inclusive. */
  readonly rowFirst: ArrayLike<number>;
  readonly rowLast: ArrayLike<number>;
}

/** The threads of one system along the axis that they follow one another on. */
export interface FlatSystem {
  readonly atMm: ArrayLike<number>;
  readonly halfWidthMm: Float32Array;
  readonly light: readonly LinearRgb[];
  /** Along the axis, threads that lie over one another, the uppermost on the face first; mostly one in each. */
  readonly stacks: readonly (readonly number[])[];
  /** Number of the nearest stack, at even steps from `fromMm` on. */
  readonly nearest: Int32Array;
  readonly fromMm: number;
  readonly stepMm: number;
}

/** Steps of the axis to a thread: fine enough to find the nearer of two. */
const STEPS = 8;
/** Nearer than this share of the mean distance, threads lie over one another. */
const STACKED = 0.25;

/** @param geometry of the forecast for this cloth. */
export function flatThreads(
  { problem, coloursOf, widthMmOf }: SampleCloth,
  { endXMm, rowYMm }: { readonly endXMm: ArrayLike<number>; readonly rowYMm: ArrayLike<number> },
): FlatThreads {
  const { drawdown, endYarn, rowYarn, rowFirst, rowLast } = problem;
  const lightOf = coloursOf.map((colours) => meanLinear(colours.map(linearFromHex)));
  const system = (atMm: ArrayLike<number>, yarnOf: ArrayLike<number>, overEnds?: Uint32Array) =>
    systemOf(
      atMm,
      Float32Array.from({ length: atMm.length }, (_, k) => widthMmOf[yarnOf[k]] / 2),
      Array.from({ length: atMm.length }, (_, k) => lightOf[yarnOf[k]]),
      overEnds,
    );
  // A pick of the upper layer lies over more ends than one below it.
  const overEnds = Uint32Array.from({ length: drawdown.rows }, (_, row) => {
    let over = 0;
    for (let end = 0; end < drawdown.ends; end++) if (!isWarpUp(drawdown, row, end)) over++;
    return over;
  });
  return { drawdown, ends: system(endXMm, endYarn), rows: system(rowYMm, rowYarn, overEnds), rowFirst, rowLast };
}

/** @param height which of threads at one place lies uppermost on the face: the more; absent: none lie over others. */
function systemOf(
  atMm: ArrayLike<number>,
  halfWidthMm: Float32Array,
  light: readonly LinearRgb[],
  height?: Uint32Array,
): FlatSystem {
  const count = atMm.length;
  const order = Array.from({ length: count }, (_, k) => k).sort((a, b) => atMm[a] - atMm[b]);
  const [first, last] = [atMm[order[0]], atMm[order[count - 1]]];
  const pitchMm = count > 1 ? (last - first) / (count - 1) : 2 * halfWidthMm[0];
  const stacks: number[][] = [];
  for (const k of order) {
    const below = stacks.at(-1);
    if (height && below && atMm[k] - atMm[below[0]] < STACKED * pitchMm) below.push(k);
    else stacks.push([k]);
  }
  if (height) for (const stack of stacks) stack.sort((a, b) => height[b] - height[a]);
  const edgeMm = Math.max(pitchMm / 2, halfWidthMm[order[0]], halfWidthMm[order[count - 1]]);
  const fromMm = first - edgeMm;
  const stepMm = (last - first + 2 * edgeMm) / (STEPS * count);
  const nearest = new Int32Array(STEPS * count);
  const stackMm = stacks.map((stack) => stack.reduce((sum, k) => sum + atMm[k], 0) / stack.length);
  let at = 0;
  for (let step = 0; step < nearest.length; step++) {
    const mm = fromMm + (step + 0.5) * stepMm;
    while (at + 1 < stacks.length && stackMm[at + 1] - mm < mm - stackMm[at]) at++;
    nearest[step] = at;
  }
  return { atMm, halfWidthMm, light, stacks, nearest, fromMm, stepMm };
}

/** The light of the thread seen at a place of the cloth from a side; undefined in a gap, and beside the cloth. */
export function seenAt(threads: FlatThreads, xMm: number, yMm: number, side: Side): LinearRgb | undefined {
  const { ends, rows } = threads;
  const across = stackAt(ends, xMm);
  const along = stackAt(rows, yMm);
  if (!across || !along) return undefined;
  const [end] = across;
  const onEnd = Math.abs(xMm - ends.atMm[end]) <= ends.halfWidthMm[end];
  const { row, uppermost } = rowSeen(threads, along, end, side);
  if (row < 0) return onEnd ? ends.light[end] : undefined;
  const onRow = Math.abs(yMm - rows.atMm[row]) <= rows.halfWidthMm[row];
  if (onEnd && onRow) return uppermost ? rows.light[row] : ends.light[end];
  return onEnd ? ends.light[end] : onRow ? rows.light[row] : undefined;
}

/** Of the picks of a stack that pass an end the one seen, and whether it lies over the end; -1 where none passes it. */
function rowSeen(
  { drawdown, rowFirst, rowLast }: FlatThreads,
  stack: readonly number[],
  end: number,
  side: Side,
): { row: number; uppermost: boolean } {
  const face = side === 'face';
  let row = -1;
  for (let k = 0; k < stack.length; k++) {
    const each = stack[face ? k : stack.length - 1 - k];
    if (end < rowFirst[each] || end > rowLast[each]) continue;
    if (isWarpUp(drawdown, each, end) !== face) return { row: each, uppermost: true };
    if (row < 0) row = each;
  }
  return { row, uppermost: false };
}

function stackAt({ nearest, fromMm, stepMm, stacks }: FlatSystem, mm: number): readonly number[] | undefined {
  const step = Math.floor((mm - fromMm) / stepMm);
  return step >= 0 && step < nearest.length ? stacks[nearest[step]] : undefined;
}
