import type { Threading } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';

/** Of each shaft: how many ends it carries and, at each pick, how many of them a drawdown wants up. */
export interface ShaftCounts {
  readonly shafts: number;
  readonly carried: Uint32Array;
  /** row * shafts + (shaft − 1). */
  readonly wantedUp: Uint32Array;
  /** Per pick: ends on no shaft that are wanted up, which nothing can lift. */
  readonly looseUp: Uint32Array;
}

/**
 * Counts, 32 ends at a time, what a drawdown asks of the shafts of a threading: shafts that hold no end in a word of the
 * row are not looked at there.
 */
export function countShafts(drawdown: Drawdown, threading: Threading, shafts: number): ShaftCounts {
  const { rows, wordsPerRow: width } = drawdown;
  const bits = new Int32Array(drawdown.bits.buffer, drawdown.bits.byteOffset, drawdown.bits.length);
  const carried = new Uint32Array(shafts);
  const wantedUp = new Uint32Array(rows * shafts);
  const looseUp = new Uint32Array(rows);
  const masks = new Int32Array(shafts + 1);
  for (let word = 0; word < width; word++) {
    masks.fill(0);
    const stop = Math.min(threading.length, 32 * word + 32);
    for (let end = 32 * word; end < stop; end++) masks[threading[end]] |= 1 << (end & 31);
    const held: number[] = [];
    for (let shaft = 1; shaft <= shafts; shaft++) {
      if (masks[shaft] === 0) continue;
      held.push(shaft);
      carried[shaft - 1] += popcount32(masks[shaft]);
    }
    for (let row = 0; row < rows; row++) {
      const here = bits[row * width + word];
      if (here === 0) continue;
      const at = row * shafts - 1;
      for (const shaft of held) {
        const up = here & masks[shaft];
        if (up !== 0) wantedUp[at + shaft] += popcount32(up);
      }
      if (masks[0] !== 0) looseUp[row] += popcount32(here & masks[0]);
    }
  }
  return { shafts, carried, wantedUp, looseUp };
}
