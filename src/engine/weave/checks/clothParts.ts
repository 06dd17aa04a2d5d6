import { createDrawdown, type Drawdown } from '#engine/draft/drawdown.ts';
import { lastWordMask, transpose } from '#engine/draft/transformDrawdown.ts';
import { type Layers, layersOf } from '#engine/weave/layers.ts';
import type { CheckedCloth } from './checkTypes.ts';
import { passesWhole } from './warpLines.ts';

/**
 * The parts into which a cloth would come away from itself, uppermost first. Where every row passes from edge to edge,
 * by Clapham's criterion; else by who holds whom down: threads of which each lies over the other by way of others belong
 * together (strongly connected parts; S. R. Kosaraju 1978, as told by A. Aho, J. Hopcroft & J. Ullman 1983), found 32
 * crossings at a time.
 */
export function partsOf(cloth: CheckedCloth): Layers {
  return passesWhole(cloth) ? layersOf(cloth.drawdown) : strongParts(cloth);
}

function strongParts({ drawdown, rowFirst, rowLast }: CheckedCloth): Layers {
  const { rows, ends, wordsPerRow: width } = drawdown;
  const up = createDrawdown(rows, ends);
  const down = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    for (let word = 0; word < width; word++) {
      const passed = spanWord(word, rowFirst[row], rowLast[row]) & (word === width - 1 ? lastWordMask(ends) : -1);
      const at = row * width + word;
      up.bits[at] = drawdown.bits[at] & passed;
      down.bits[at] = ~drawdown.bits[at] & passed;
    }
  }
  // A row lies over the ends that are down on it, an end over the rows on which it is up.
  const below = { rowTo: down, endTo: transpose(up) };
  const above = { rowTo: up, endTo: transpose(down) };
  const order = search(rows, ends, below, undefined).finished;
  const { partOf, count } = search(rows, ends, above, order.reverse());
  return { count, pickLayer: partOf.slice(0, rows), endLayer: partOf.slice(rows) };
}

interface Graph {
  readonly rowTo: Drawdown;
  readonly endTo: Drawdown;
}

/** Depth first from each node in turn; nodes are the rows, then the ends. */
function search(rows: number, ends: number, { rowTo, endTo }: Graph, order: readonly number[] | undefined) {
  const freshRows = fresh(rows);
  const freshEnds = fresh(ends);
  const partOf = new Uint32Array(rows + ends);
  const word = new Uint32Array(rows + ends);
  const finished: number[] = [];
  let count = 0;
  const isFresh = (node: number) => {
    const [set, at] = node < rows ? [freshRows, node] : [freshEnds, node - rows];
    return ((set[at >>> 5] >>> (at & 31)) & 1) === 1;
  };
  const visit = (node: number) => {
    const [set, at] = node < rows ? [freshRows, node] : [freshEnds, node - rows];
    set[at >>> 5] &= ~(1 << (at & 31));
    partOf[node] = count;
  };
  const next = (node: number): number => {
    const [lines, line, set, offset] =
      node < rows ? ([rowTo, node, freshEnds, rows] as const) : ([endTo, node - rows, freshRows, 0] as const);
    const { wordsPerRow: width, bits } = lines;
    for (; word[node] < width; word[node]++) {
      const open = bits[line * width + word[node]] & set[word[node]];
      if (open !== 0) return offset + 32 * word[node] + 31 - Math.clz32(open & -open);
    }
    return -1;
  };
  for (let k = 0; k < rows + ends; k++) {
    const root = order ? order[k] : k;
    if (!isFresh(root)) continue;
    visit(root);
    const path = [root];
    while (path.length > 0) {
      const node = path[path.length - 1];
      const to = next(node);
      if (to < 0) {
        finished.push(node);
        path.pop();
      } else {
        visit(to);
        path.push(to);
      }
    }
    count++;
  }
  return { partOf, count, finished };
}

function fresh(count: number): Int32Array {
  const set = new Int32Array((count + 31) >>> 5).fill(-1);
  if (count > 0) set[set.length - 1] = lastWordMask(count);
  return set;
}

function spanWord(word: number, first: number, last: number): number {
  const low = first - 32 * word;
  const high = last - 32 * word;
  if (low >= 32 || high < 0) return 0;
  return (low > 0 ? -1 << low : -1) & (high < 31 ? (1 << (high + 1)) - 1 : -1);
}
