import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { createDrawdown, type Drawdown, drawdownFromRows, setWarpUp } from '#engine/draft/drawdown.ts';
import { greatestCommonDivisor } from '#engine/draft/repeats.ts';

/** Plain weave, end 1 up on pick 1. */
export function plainWeave(): Drawdown {
  return drawdownFromRows([
    [1, 0],
    [0, 1],
  ]);
}

/**
 * A regular twill from its line, alternately over and under along the first pick: [2, 2] is 2/2, [3, 1, 1, 1] is 3/1/1/1.
 * Each pick moves the line `step` ends to the right (negative: to the left).
 * @throws DraftError where the line is not an even number of whole numbers from 1.
 */
export function twill(line: readonly number[], step = 1): Drawdown {
  if (line.length === 0 || line.length % 2 !== 0 || !line.every((length) => Number.isInteger(length) && length >= 1)) {
    throw new DraftError(
      'sizes-do-not-fit',
      WHOLE,
      `A twill line is pairs of over and under, each 1 or more, such as 2/2; ${line.join('/') || 'nothing'} was given.`,
    );
  }
  return shiftedLine(
    line.flatMap((length, k) => Array.from({ length }, () => 1 - (k % 2))),
    step,
  );
}

/** One pick's marks, moved `step` ends to the right at each pick until it comes round. */
export function shiftedLine(marks: readonly number[], step: number): Drawdown {
  const ends = marks.length;
  const rows = ends / greatestCommonDivisor(ends, step);
  const drawdown = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      if (marks[end]) setWarpUp(drawdown, row, (((end + row * step) % ends) + ends) % ends, true);
    }
  }
  return drawdown;
}

/** Moves that make a regular satin of n ends: whole numbers 2..n−2 without a factor in common with n. Ascending. */
export function satinMoves(ends: number): number[] {
  const moves: number[] = [];
  for (let move = 2; move <= ends - 2; move++) if (greatestCommonDivisor(move, ends) === 1) moves.push(move);
  return moves;
}

/** The moves of `satinMoves` of which none is another's mirror image (move and n − move are). */
export function satinCounters(ends: number): number[] {
  return satinMoves(ends).filter((move) => move < ends / 2);
}

/**
 * A regular satin: on each pick the stitch lies `move` ends further right. Weft-faced: one end up a pick; warp-faced: all
 * but one.
 * @throws DraftError where the move makes no satin; the message lists those that do.
 */
export function satin(ends: number, move: number, face: 'warp' | 'weft'): Drawdown {
  const moves = satinMoves(ends);
  if (!moves.includes(move)) {
    const advice = moves.length > 0 ? `Use ${moves.join(', ')}.` : 'No move does; use another number of ends.';
    throw new DraftError('sizes-do-not-fit', WHOLE, `Move ${move} makes no satin of ${ends} ends. ${advice}`);
  }
  const stitch = face === 'weft' ? 1 : 0;
  return shiftedLine([stitch, ...Array<number>(ends - 1).fill(1 - stitch)], move);
}

/** Each end and pick of a weave taken several times over, side by side in one shed or on one shaft. */
export function thicken(drawdown: Drawdown, endTimes: number, pickTimes: number): Drawdown {
  const thick = createDrawdown(drawdown.rows * pickTimes, drawdown.ends * endTimes);
  for (let row = 0; row < thick.rows; row++) {
    const source = Math.floor(row / pickTimes) * drawdown.wordsPerRow;
    for (let end = 0; end < thick.ends; end++) {
      const from = Math.floor(end / endTimes);
      if ((drawdown.bits[source + (from >>> 5)] >>> (from & 31)) & 1) setWarpUp(thick, row, end, true);
    }
  }
  return thick;
}

/** Hopsack: plain weave with groups of ends and picks moving as one. */
export function hopsack(ends: number, picks: number = ends): Drawdown {
  return thicken(plainWeave(), ends, picks);
}

/** Warp rib: several picks in one shed, so that warp floats cross the cloth in ribs. */
export function warpRib(picks: number): Drawdown {
  return thicken(plainWeave(), 1, picks);
}

/** Weft rib: several ends move as one. */
export function weftRib(ends: number): Drawdown {
  return thicken(plainWeave(), ends, 1);
}
