import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { satin } from '#engine/weave/basicWeaves.ts';
import { choice, type Family, list, whole } from './ruleParams.ts';
import { drawdownWhere, modulo, simple } from './structureTypes.ts';

/**
 * Picks from an end's stitch up to a crossing, 0 … ends − 1: the stitch of end e lies at pick e / move, counted round.
 * Throws as `satin` does.
 */
function picksAboveStitch(ends: number, move: number): (row: number, end: number) => number {
  satin(ends, move, 'weft');
  let inverse = 1;
  while ((inverse * move) % ends !== 1) inverse++;
  return (row, end) => modulo(row - end * inverse, ends);
}

/**
 * A satin of `up` binding points a pick. They lie above one another on their end, beginning at the sateen's stitch: so of
 * all tones as many ends change sides from pick to pick, and picks are beaten as close in each.
 */
export function satinOfTone(ends: number, move: number, up: number): Drawdown {
  const place = picksAboveStitch(ends, move);
  return drawdownWhere(ends, ends, (row, end) => place(row, end) < up);
}

export const satinFamilies: readonly Family[] = [
  {
    rule: 'satin',
    kind: 'satin',
    params: {
      ends: whole('Ends', 8, 5, 64),
      move: whole('Move', 3, 2, 62),
      face: choice('Face', 'weft', 'warp'),
    },
    build: (values) =>
      simple(satin(values.whole('ends'), values.whole('move'), values.choice('face') === 'warp' ? 'warp' : 'weft')),
  },
  {
    rule: 'irregularSatin',
    kind: 'satin',
    params: { order: list('Stitch of each pick', '1 4 2 6 3 5', 1, 64), face: choice('Face', 'weft', 'warp') },
    build: (values) => {
      const order = values.list('order');
      if (new Set(order).size !== order.length || Math.max(...order) !== order.length) {
        throw new DraftError(
          'sizes-do-not-fit',
          WHOLE,
          `The order ${order.join(' ')} does not stitch every end once; name each of 1 to ${order.length} once.`,
        );
      }
      const weft = values.choice('face') === 'weft';
      return simple(drawdownWhere(order.length, order.length, (row, end) => (order[row] === end + 1) === weft));
    },
  },
  {
    rule: 'shadedSatin',
    kind: 'satin',
    params: {
      ends: whole('Ends', 8, 5, 32),
      move: whole('Move', 3, 2, 30),
      from: whole('Binding points at first', 1, 1, 31),
      to: whole('Binding points at last', 7, 1, 31),
      repeats: whole('Repeats of each tone', 1, 1, 32),
      along: choice('Shaded', 'along the cloth', 'across the cloth'),
    },
    build: (values) => {
      const [ends, move] = [values.whole('ends'), values.whole('move')];
      const [from, to, repeats] = [values.whole('from'), values.whole('to'), values.whole('repeats')];
      if (Math.max(from, to) >= ends) {
        throw new DraftError(
          'sizes-do-not-fit',
          WHOLE,
          `A satin of ${ends} ends has 1 to ${ends - 1} binding points a pick.`,
        );
      }
      const place = picksAboveStitch(ends, move);
      const tones = Array.from({ length: Math.abs(to - from) + 1 }, (_, k) => from + k * Math.sign(to - from));
      const length = tones.length * repeats * ends;
      const toneAt = (thread: number) => tones[Math.floor(thread / (repeats * ends))];
      return simple(
        values.choice('along') === 'along the cloth'
          ? drawdownWhere(length, ends, (row, end) => place(row, end) < toneAt(row))
          : drawdownWhere(ends, length, (row, end) => place(row, end) < toneAt(end)),
      );
    },
  },
];
