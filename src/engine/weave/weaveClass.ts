import type { Drawdown } from '#engine/draft/drawdown.ts';
import { complement, reverseEnds, reversePicks, rowsFromDrawdown } from '#engine/draft/transformDrawdown.ts';

/**
 * A name for the weave of a repeat, the same for every repeat that is that weave begun at another end or pick, mirrored
 * left to right or up and down and, unless `facesDiffer`, seen with over and under exchanged. Two repeats of one size are
 * the same weave exactly when their names agree (B. Grünbaum & G. C. Shephard 1980, Satins and Twills). Time grows with
 * (rows · ends)²: for repeats, not for whole cloths.
 */
export function weaveClass(drawdown: Drawdown, facesDiffer = false): string {
  let least: string | undefined;
  for (const sided of facesDiffer ? [drawdown] : [drawdown, complement(drawdown)]) {
    for (const upright of [sided, reversePicks(sided)]) {
      for (const view of [upright, reverseEnds(upright)]) {
        const found = leastShift(view);
        if (least === undefined || found < least) least = found;
      }
    }
  }
  return `${drawdown.rows}x${drawdown.ends}:${least ?? ''}`;
}

/** The first, in order of characters, of all the texts that the repeat makes begun at its different ends and picks. */
function leastShift(drawdown: Drawdown): string {
  const texts = rowsFromDrawdown(drawdown).map((row) => row.join(''));
  let least: string | undefined;
  for (let end = 0; end < Math.max(1, drawdown.ends); end++) {
    const turned = texts.map((text) => text.slice(end) + text.slice(0, end));
    for (let row = 0; row < turned.length; row++) {
      const text = [...turned.slice(row), ...turned.slice(0, row)].join('/');
      if (least === undefined || text < least) least = text;
    }
  }
  return least ?? '';
}
