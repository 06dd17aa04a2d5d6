// What contact sheets weave: cards of the presets, and a weave's lifts on a loom threaded straight.
import { readFileSync } from 'node:fs';
import { root } from './prepare.mjs';

/** A preset's card, such as `readPreset('looms/q16')`. */
export const readPreset = (path) => JSON.parse(readFileSync(`${root}presets/${path}.json`, 'utf8'));

/**
 * A weave's lifts on `loomShafts` shafts, threaded straight over as many of them as hold whole repeats.
 * @returns lists of risen shafts, from 1, one a pick of the weave
 */
export function liftsOf(weave, loomShafts) {
  const { shafts, lifts } = readPreset(`weaves/${weave}`);
  const used = loomShafts - (loomShafts % shafts);
  return lifts.split(',').map((lift) => {
    const risen = new Set(
      lift
        .trim()
        .split(/[\s+]+/)
        .flatMap((part) => {
          const [from, to = from] = part.split('-').map(Number);
          return Array.from({ length: to - from + 1 }, (_, k) => from + k);
        }),
    );
    return Array.from({ length: used }, (_, k) => k + 1).filter((shaft) => risen.has(((shaft - 1) % shafts) + 1));
  });
}
