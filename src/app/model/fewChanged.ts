import { alike } from '#document/sameSample.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';

/** How little one cloth differs from another that is alike in all else. */
export type FewChanged =
  | { readonly kind: 'crossings'; readonly changed: number; readonly of: number }
  /** So many picks more than the other, at one place; fewer where below 0. */
  | { readonly kind: 'picks'; readonly more: number };

/**
 * Where fewer crossings than this share differ, readings over the whole cloth hardly move: what they would seem to differ by comes of where
 * the cloth was looked at (a cloth without a repeat is solved in windows, one with a repeat whole).
 */
const FEW = 0.02;

const same = ['yarns', 'beat', 'finish', 'afterLoom'] as const;

/** What of a version differs from the sample, where it is so little; undefined where it is more, or yarns or beat differ too. */
export function fewChanged(sample: SampleBody, version: SampleBody): FewChanged | undefined {
  if (!same.every((part) => alike(sample[part], version[part]))) return undefined;
  const [one, other] = [toClothProblem(sample).problem, toClothProblem(version).problem];
  if (one.ends !== other.ends || !sameOf(one.endYarn, other.endYarn, one.ends)) return undefined;
  return one.rows === other.rows ? changedCrossings(one, other) : changedPicks(one, other);
}

function sameOf(a: ArrayLike<number>, b: ArrayLike<number>, count: number): boolean {
  for (let k = 0; k < count; k++) if (a[k] !== b[k]) return false;
  return true;
}

function changedCrossings(one: ClothProblem, other: ClothProblem): FewChanged | undefined {
  if (!sameOf(one.rowYarn, other.rowYarn, one.rows)) return undefined;
  let changed = 0;
  for (let row = 0; row < one.rows; row++) changed += changedInRow(one, row, other, row);
  const of = one.rows * one.ends;
  return changed <= FEW * of ? { kind: 'crossings', changed, of } : undefined;
}

/** Rows that are the same from both ends towards a gap, which is all that differs. */
function changedPicks(one: ClothProblem, other: ClothProblem): FewChanged | undefined {
  const more = other.rows - one.rows;
  const shared = Math.min(one.rows, other.rows);
  if (Math.abs(more) > FEW * one.rows) return undefined;
  const alikeAt = (row: number, there: number) =>
    one.rowYarn[row] === other.rowYarn[there] && changedInRow(one, row, other, there) === 0;
  let below = 0;
  while (below < shared && alikeAt(below, below)) below++;
  let above = 0;
  while (above < shared - below && alikeAt(one.rows - 1 - above, other.rows - 1 - above)) above++;
  return below + above === shared ? { kind: 'picks', more } : undefined;
}

function changedInRow(one: ClothProblem, row: number, other: ClothProblem, there: number): number {
  const width = one.drawdown.wordsPerRow;
  let changed = 0;
  for (let word = 0; word < width; word++) {
    let bits = one.drawdown.bits[row * width + word] ^ other.drawdown.bits[there * width + word];
    for (; bits !== 0; bits &= bits - 1) changed++;
  }
  return changed;
}
