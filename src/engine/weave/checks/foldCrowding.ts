import type { Layers } from '#engine/weave/layers.ts';
import type { CheckedCloth, Finding } from './checkTypes.ts';
import { LEAST_OF_CLOTH } from './comingAway.ts';

/** Ends of either layer beside a fold that are looked at. */
const BESIDE_FOLD = 3;
/** Ends at the fold this many times as close as in the rest of the layer are told of: the eye sees a streak (estimate). */
const CROWDED = 1.2;

/**
 * Crowding where a double-width cloth is folded: at an edge where the weft goes from one layer into the other. Opened
 * out, the outermost ends of the two layers lie side by side there, and with the draw-in at a fold unreckoned they are as
 * close as both layers together. One end fewer at the fold cures it (common practice).
 */
export function findFoldCrowding(cloth: CheckedCloth, layers: Layers): Finding[] {
  if (layers.count !== 2) return [];
  const { endXMm } = cloth;
  const upper = endsOf(layers, 0);
  const lower = endsOf(layers, 1);
  if (Math.min(upper.length, lower.length) < 2 * BESIDE_FOLD) return [];
  return (['left', 'right'] as const).flatMap((edge): Finding[] => {
    if (!foldsAt(cloth, layers, edge)) return [];
    const outermost = (ends: readonly number[]) =>
      (edge === 'left' ? ends : [...ends].reverse()).map((end) => endXMm[end]);
    const [a, b] = [outermost(upper), outermost(lower)];
    const edgeMm = edge === 'left' ? Math.min(a[0], b[0]) : Math.max(a[0], b[0]);
    const out = (x: number) => Math.abs(x - edgeMm);
    // Across the fold, from one layer's third end to the other's; and as much of the layers further in.
    const foldMm = (out(a[BESIDE_FOLD - 1]) + out(b[BESIDE_FOLD - 1])) / (2 * BESIDE_FOLD - 1);
    const layerMm =
      (Math.abs(a[a.length - 1] - a[0]) / (a.length - 1) + Math.abs(b[b.length - 1] - b[0]) / (b.length - 1)) / 2;
    const timesAsClose = layerMm / foldMm;
    if (timesAsClose < CROWDED) return [];
    const ends = [...upper, ...lower].sort((x, y) => x - y);
    const [fromEnd, toEnd] =
      edge === 'left'
        ? [ends[0], ends[2 * BESIDE_FOLD - 1]]
        : [ends[ends.length - 2 * BESIDE_FOLD], ends[ends.length - 1]];
    return [
      {
        kind: 'crowdedFold',
        weight: 'look',
        edge,
        timesAsClose,
        count: 1,
        places: [{ fromRow: 0, toRow: cloth.drawdown.rows - 1, fromEnd, toEnd }],
      },
    ];
  });
}

function endsOf({ endLayer }: Layers, layer: number): number[] {
  return Array.from(endLayer.keys()).filter((end) => endLayer[end] === layer);
}

/** Whether wefts turn there from one layer into the other, at least twice. */
function foldsAt(cloth: CheckedCloth, { pickLayer }: Layers, edge: 'left' | 'right'): boolean {
  const { drawdown, rowYarn, rowEntersRight, rowTurns } = cloth;
  const enters = edge === 'right' ? 1 : 0;
  const before = new Map<number, number>();
  let folds = 0;
  for (let row = 0; row < drawdown.rows; row++) {
    const last = before.get(rowYarn[row]);
    before.set(rowYarn[row], row);
    if (last === undefined || rowEntersRight[row] !== enters || rowEntersRight[last] === enters) continue;
    if (rowTurns[last] === 1 && pickLayer[last] !== pickLayer[row]) folds++;
  }
  return folds >= LEAST_OF_CLOTH;
}
