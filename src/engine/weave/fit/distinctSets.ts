import { type SetWords, setCount } from '#engine/draft/shaftSet.ts';

/** Sets of shafts, shaft 1 in bit 0. */
export type ShaftSets = readonly bigint[];

/** The different sets of a list that hold anything, in order of first use, and which each entry is; −1 where it is empty. */
export function distinctSets(words: SetWords): { readonly sets: ShaftSets; readonly setOf: Int32Array } {
  const sets: bigint[] = [];
  const known = new Map<bigint, number>();
  const setOf = new Int32Array(setCount(words));
  for (let k = 0; k < setOf.length; k++) {
    const set = (BigInt(words[2 * k + 1]) << 32n) | BigInt(words[2 * k]);
    let at = set === 0n ? -1 : known.get(set);
    if (at === undefined) {
      at = sets.length;
      known.set(set, at);
      sets.push(set);
    }
    setOf[k] = at;
  }
  return { sets, setOf };
}
