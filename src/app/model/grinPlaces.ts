import { formatNumber } from '#app/words/numbers.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import type { GrinReading } from '#engine/packing/far/grinReading.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { minMmPerPx, type PanelSize, type Pose } from './pose.ts';

/** Towards the eye, in the cloth's axes; unit length. */
export function viewOf({ yawRad, pitchRad }: Pick<Pose, 'yawRad' | 'pitchRad'>): readonly [number, number, number] {
  const level = Math.cos(pitchRad);
  return [Math.sin(yawRad) * level, Math.sin(pitchRad), Math.cos(yawRad) * level];
}

/** Where a block of crossings lies in the draft: "picks 41–48, ends 12–20". */
export function blockPlace(
  table: GrinTable,
  block: number,
  { lineTable, lines, ends }: Pick<PackedCloth, 'lineTable' | 'lines' | 'ends'>,
  rowPick: ArrayLike<number>,
): string {
  const line0 = Math.floor(block / table.blocksAcross) * table.linesPerBlock;
  const line1 = Math.min(line0 + table.linesPerBlock, table.lines) - 1;
  const end0 = (block % table.blocksAcross) * table.endsPerBlock;
  const end1 = Math.min(end0 + table.endsPerBlock, table.ends) - 1;
  const pickOf = (line: number) => rowPick[lineTable[line * 4 + 1]] + 1;
  const repeats = table.lines < lines || table.ends < ends ? ' of each repeat' : '';
  return `${run('pick', pickOf(line0), pickOf(line1))}, ${run('end', end0 + 1, end1 + 1)}${repeats}`;
}

function run(thing: string, from: number, to: number): string {
  return from === to ? `${thing} ${formatNumber(from)}` : `${thing}s ${formatNumber(from)}–${formatNumber(to)}`;
}

/** Part of the cloth's plane, mm. */
export interface MarkedPlace {
  readonly minXMm: number;
  readonly maxXMm: number;
  readonly minYMm: number;
  readonly maxYMm: number;
}

/**
 * Where a block of crossings lies in the cloth; where it lies in each repeat, the one nearest to a point.
 * @param places of all ends and rows, mm, ascending
 */
export function blockBox(
  table: GrinTable,
  block: number,
  { lineTable, lines, ends }: Pick<PackedCloth, 'lineTable' | 'lines' | 'ends'>,
  { endXMm, rowYMm }: { readonly endXMm: ArrayLike<number>; readonly rowYMm: ArrayLike<number> },
  near: { readonly targetXMm: number; readonly targetYMm: number },
): MarkedPlace {
  const up = Math.floor(block / table.blocksAcross);
  const across = block % table.blocksAcross;
  const lineY = (line: number) => rowYMm[lineTable[line * 4 + 1]];
  const [minYMm, maxYMm] = span(
    lineY,
    lines,
    up * table.linesPerBlock,
    table.linesPerBlock,
    table.lines,
    near.targetYMm,
  );
  const [minXMm, maxXMm] = span(
    (end) => endXMm[end],
    ends,
    across * table.endsPerBlock,
    table.endsPerBlock,
    table.ends,
    near.targetXMm,
  );
  return { minXMm, maxXMm, minYMm, maxYMm };
}

/** From the first to the last of a run of threads, half a pitch more on either side, in the repeat nearest to a place. */
function span(
  at: (thread: number) => number,
  threads: number,
  first: number,
  most: number,
  repeat: number,
  nearMm: number,
): [number, number] {
  const count = Math.min(most, repeat - first);
  let best: [number, number] = [0, 0];
  let bestApart = Number.POSITIVE_INFINITY;
  for (let from = first; from < threads; from += repeat) {
    const to = Math.min(from + count, threads) - 1;
    const before = from > 0 ? (at(from) - at(from - 1)) / 2 : 0;
    const after = to + 1 < threads ? (at(to + 1) - at(to)) / 2 : 0;
    const [low, high] = [at(from) - (before || after), at(to) + (after || before)];
    const apart = Math.abs((low + high) / 2 - nearMm);
    if (apart < bestApart) {
      bestApart = apart;
      best = [low, high];
    }
  }
  return best;
}

/** Of the panel's shorter way, what a marked place takes at least once it is gone to. */
const MARKED_SHARE = 0.2;

/** The place in the middle of the panel, near enough to see its threads; never farther off than before. */
export function goTo(pose: Pose, size: PanelSize, place: MarkedPlace): Pose {
  const { minXMm, maxXMm, minYMm, maxYMm } = place;
  const mmPerPx = Math.max(
    (maxXMm - minXMm) / (MARKED_SHARE * Math.max(size.widthPx, 1)),
    (maxYMm - minYMm) / (MARKED_SHARE * Math.max(size.heightPx, 1)),
    minMmPerPx,
  );
  return {
    ...pose,
    targetXMm: (minXMm + maxXMm) / 2,
    targetYMm: (minYMm + maxYMm) / 2,
    mmPerPx: Math.min(pose.mmPerPx, mmPerPx),
  };
}

/** "18 % at 45°" */
export function grinWords(share: number, degrees: number): string {
  return `${percent(share)} at ${Math.round(degrees)}°`;
}

/** Whole figures, but what is little is not nothing. */
export function percent(share: number): string {
  return share > 0 && share < 0.01 ? 'under 1 %' : `${formatNumber(100 * share)} %`;
}

/** Ends of a map's scale lie on multiples of this share. */
const SCALE_STEP = 0.05;

/** Shares at the ends of a map's scale, round ones that hold all of it: from none, or where all is high, from near the least. */
export function scaleOf({ share }: GrinReading): { readonly from: number; readonly to: number } {
  const most = share.reduce((one, other) => Math.max(one, other), 0);
  const least = share.reduce((one, other) => Math.min(one, other), 1);
  const to = Math.max(1, Math.ceil(most / SCALE_STEP)) * SCALE_STEP;
  return { from: least > most / 2 ? Math.min(Math.floor(least / SCALE_STEP) * SCALE_STEP, to - SCALE_STEP) : 0, to };
}
