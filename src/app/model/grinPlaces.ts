import { formatNumber } from '#app/words/numbers.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import type { GrinReading } from '#engine/packing/far/grinReading.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { Pose } from './pose.ts';

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
