import { type LayerMap, Side } from './layerMap.ts';

export interface Pockets {
  /** Per crossing, number of its pocket from 0; −1 where the cloth is one. */
  readonly pocketOf: Int32Array;
  readonly count: number;
}

/** Whether the way from a crossing to the next along a thread stays between the same layers. */
export type Passes = (from: number, to: number, alongWeft: boolean) => boolean;

/**
 * Pockets: crossings joined along picks and ends that keep their layer. A repeat's pockets go on over its edge.
 */
export function findPockets(map: LayerMap, repeats: boolean): Pockets & { readonly passes: Passes } {
  const { rows, ends, endSide, rowSide } = map;
  const passes: Passes = (from, to, alongWeft) => {
    const side = alongWeft ? rowSide : endSide;
    return side[from] !== Side.none && side[from] === side[to];
  };
  if (!map.layered) return { pocketOf: new Int32Array(0), count: 0, passes };
  const pocketOf = new Int32Array(rows * ends).fill(-1);
  const parent = Int32Array.from({ length: rows * ends }, (_, k) => k);
  const rootOf = (k: number): number => {
    let at = k;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]];
      at = parent[at];
    }
    return at;
  };
  const join = (from: number, to: number, alongWeft: boolean) => {
    if (passes(from, to, alongWeft)) parent[rootOf(from)] = rootOf(to);
  };
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      const k = row * ends + end;
      if (end + 1 < ends) join(k, k + 1, true);
      else if (repeats) join(k, row * ends, true);
      if (row + 1 < rows) join(k, k + ends, false);
      else if (repeats) join(k, end, false);
    }
  }
  const numbers = new Map<number, number>();
  for (let k = 0; k < pocketOf.length; k++) {
    if (rowSide[k] === Side.none) continue;
    const root = rootOf(k);
    const known = numbers.get(root) ?? numbers.size;
    numbers.set(root, known);
    pocketOf[k] = known;
  }
  return { pocketOf, count: numbers.size, passes };
}
