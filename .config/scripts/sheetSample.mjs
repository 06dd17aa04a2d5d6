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
  const { shafts, lifts } = woven(weave);
  const used = loomShafts - (loomShafts % shafts);
  return lifts.map((lift) => {
    const risen = new Set(lift);
    return Array.from({ length: used }, (_, k) => k + 1).filter((shaft) => risen.has(((shaft - 1) % shafts) + 1));
  });
}

/** Lifts of the weaves that sheets draw, each end of a repeat on a shaft of its own: from the rule on the card. */
function woven(weave) {
  const { made } = readPreset(`weaves/${weave}`);
  if (made?.rule === 'plain') return { shafts: 2, lifts: [[1], [2]] };
  if (made?.rule === 'satin') {
    const { ends, move, face } = made;
    const all = Array.from({ length: ends }, (_, k) => k + 1);
    const lifts = all.map((_, pick) => {
      const stitch = ((pick * move) % ends) + 1;
      return face === 'weft' ? [stitch] : all.filter((shaft) => shaft !== stitch);
    });
    return { shafts: ends, lifts };
  }
  if (made?.rule === 'twill') {
    const marks = made.line.split('/').flatMap((length, k) => Array(Number(length)).fill(k % 2 === 0));
    const lifts = marks.map((_, pick) =>
      marks.flatMap((_mark, end) =>
        marks[(((end - pick * made.step) % marks.length) + marks.length) % marks.length] ? [end + 1] : [],
      ),
    );
    return { shafts: marks.length, lifts };
  }
  throw new Error(`Sheets draw plain weave, twills and satins; ${weave} is none of them.`);
}

/** A sample on the sixteen-shaft loom: `warp` and `body` as a file has them, without what is alike in all. */
export function sampleOnLoom(name, warp, body) {
  return {
    format: 'forecloth-sample',
    version: 8,
    name,
    notes: '',
    hungThisWayUp: 'firstPickBelow',
    loom: readPreset('looms/q16'),
    warp: { format: 'forecloth-warp', version: 2, name: warp.id, loomId: 'q16', ...warp },
    versions: [],
    ...body,
  };
}
