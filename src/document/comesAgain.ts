import { classNumbers } from '#engine/draft/classNumbers.ts';
import { comparedPicks, sameBut } from './sameBut.ts';
import type { ListedAgain, ListedItem, ListedLines, ListedPick, ListedRound, Otherwise } from './weavingList.ts';

/** No longer round is looked for, picks: more than a loom weaves between two pauses (chosen). */
const LONGEST_ROUND = 512;
/** A round that spares fewer lines than this is written out instead (chosen). */
const LEAST_SPARED = 4;
/** So is what was written before (chosen: where it stands by itself a table's heads take two lines more). */
const LEAST_SPARED_AGAIN = 3;
/** Amid lines, what is not just as it was, or several times, breaks off the reading and has to spare more (chosen). */
const LEAST_SPARED_AMID = 7;
/** From within lines written out, no fewer than so many picks are pointed to (chosen). */
const LEAST_WITHIN = 8;
/** No more pieces together are pointed to at once (chosen). */
const MOST_TOGETHER = 8;

/** Picks that stand written one after the other, from 0, and the rounds among them. */
interface Written {
  readonly from: number;
  readonly count: number;
  readonly items: readonly ListedItem[];
}

interface Found {
  readonly count: number;
  readonly times: number;
  readonly spared: number;
  readonly as?: Written;
  readonly otherwise?: Otherwise;
}

/**
 * Picks in as few lines as a hand can follow: at each place the round, or what was written before, that spares the most
 * lines, the shortest of those; what comes nowhere again is written out. A round is looked through for rounds in its turn.
 * @param again whether what was written before is pointed to; false: every round is written by itself
 */
export function comesAgain(picks: readonly ListedPick[], again: boolean): readonly ListedItem[] {
  const compared = comparedPicks(picks);
  const { kinds, shapes } = compared;
  const eights = eightsOf(shapes);
  /** By the shape of their first pick, in the order in which they were written. */
  const written = new Map<number, Written[]>();
  const history: Written[] = [];
  /** Places within lines written out, by the shapes of eight picks from there. */
  const places = new Map<number, number[]>();

  function note(piece: Written): void {
    const alike = written.get(shapes[piece.from]);
    if (alike) alike.push(piece);
    else written.set(shapes[piece.from], [piece]);
    history.push(piece);
  }

  function itemsOf(from: number, to: number): ListedItem[] {
    const items: ListedItem[] = [];
    let openFrom = from;
    const push = (item: ListedItem) => {
      items.push(item);
      for (const piece of endingWith(items)) note(piece);
    };
    const linesTo = (end: number): ListedItem[] =>
      end > openFrom ? [{ kind: 'lines', fromPick: openFrom + 1, picks: picks.slice(openFrom, end) }] : [];
    for (let at = from; at < to; ) {
      const found = best(at, to, openFrom, at > openFrom ? endingWith([...items, ...linesTo(at)]) : []);
      if (!found) {
        if (at + LEAST_WITHIN - 1 < picks.length) {
          const same = places.get(eights[at]);
          if (same) same.push(at);
          else places.set(eights[at], [at]);
        }
        at++;
        continue;
      }
      linesTo(at).forEach(push);
      push(found.as ? pointing(at, found, found.as) : roundAt(at, found));
      at += found.count * found.times;
      openFrom = at;
    }
    linesTo(to).forEach(push);
    return items;
  }

  function roundAt(at: number, { count, times }: Found): ListedRound {
    return { kind: 'round', fromPick: at + 1, count, times, items: itemsOf(at, at + count) };
  }

  /** The round or what was written before that spares the most from here on; nothing that spares enough: undefined. */
  function best(at: number, to: number, openFrom: number, open: readonly Written[]): Found | undefined {
    let found = again ? bestAgain(at, to, openFrom, open) : undefined;
    const longest = Math.min(LONGEST_ROUND, Math.floor((to - at) / 2));
    for (let count = 1; count <= longest; count++) {
      const times = timesOf(at, to, count);
      const spared = (times - 1) * count;
      if (spared >= LEAST_SPARED && spared > (found?.spared ?? 0)) found = { count, times, spared };
    }
    return found;
  }

  function timesOf(at: number, to: number, count: number): number {
    let alike = 0;
    while (at + count + alike < to && kinds[at + alike] === kinds[at + count + alike]) alike++;
    return 1 + Math.floor(alike / count);
  }

  function bestAgain(at: number, to: number, openFrom: number, open: readonly Written[]): Found | undefined {
    let found: Found | undefined;
    const offer = (as: Written, otherwise: Otherwise | undefined) => {
      const times = timesOf(at, to, as.count);
      const spared = as.count * times - 1;
      const amid = openFrom < at && (otherwise !== undefined || times > 1);
      const better = !found || spared > found.spared || (spared === found.spared && found.otherwise && !otherwise);
      if (spared >= (amid ? LEAST_SPARED_AMID : LEAST_SPARED_AGAIN) && better)
        found = { count: as.count, times, spared, as, otherwise };
    };
    for (const as of [...(written.get(shapes[at]) ?? []), ...open]) {
      if (at + as.count > to || as.from + as.count > at) continue;
      const same = sameBut(compared, as.from, at, as.count);
      if (same?.count === as.count) offer(as, same.otherwise);
    }
    for (const from of places.get(eights[at]) ?? []) {
      const end = from >= openFrom ? at : endOfLines(from);
      const same = sameBut(compared, from, at, Math.min(end - from, to - at));
      if (same && same.count >= LEAST_WITHIN) offer({ from, count: same.count, items: [] }, same.otherwise);
    }
    return found;
  }

  /** Where the lines that hold a pick end; the pick itself where they are written in no lines. */
  function endOfLines(pick: number): number {
    const holds = history.find(
      ({ from, count, items }) =>
        items.length === 1 && items[0].kind === 'lines' && from <= pick && pick < from + count,
    );
    return holds ? holds.from + holds.count : pick;
  }

  return itemsOf(0, picks.length);
}

/** What can be pointed to once the last of these stands: itself, and with those before it as far as these are written. */
function endingWith(items: readonly ListedItem[]): Written[] {
  const last = items[items.length - 1];
  const pieces: Written[] = [];
  for (let k = items.length - 1; k >= 0 && k >= items.length - MOST_TOGETHER && items[k].kind !== 'again'; k--) {
    const from = items[k].fromPick - 1;
    pieces.push({ from, count: last.fromPick - 1 + wovenIn(last) - from, items: items.slice(k) });
  }
  return pieces;
}

function pointing(at: number, { count, times, otherwise }: Found, as: Written): ListedAgain {
  return {
    kind: 'again',
    fromPick: at + 1,
    count,
    times,
    asPick: as.from + 1,
    ...(otherwise ? { otherwise } : {}),
    rounds: roundsIn(as.items, at - as.from, 1),
  };
}

/** The rounds among items and within them, told for picks so many later. */
function roundsIn(items: readonly ListedItem[], later: number, outer: number): ListedAgain['rounds'] {
  return items.flatMap((item) =>
    item.kind === 'round'
      ? [
          { fromPick: item.fromPick + later, count: item.count, times: item.times, outer },
          ...roundsIn(item.items, later, outer * item.times),
        ]
      : [],
  );
}

/** Picks woven in all of an item. */
export function wovenIn(item: ListedItem): number {
  return item.kind === 'lines' ? item.picks.length : item.count * item.times;
}

/** The picks that are written out, in rounds too, from the first on. */
export function linesIn(items: readonly ListedItem[]): readonly ListedLines[] {
  return items.flatMap((item) => (item.kind === 'lines' ? [item] : item.kind === 'round' ? linesIn(item.items) : []));
}

/** Numbers for the shapes of eight picks from each on, by pairs of pairs of pairs. */
function eightsOf(shapes: Uint32Array): Uint32Array {
  let numbers = shapes;
  for (const apart of [1, 2, 4]) {
    const halves = numbers;
    numbers = classNumbers(Array.from(halves, (number, k) => `${number} ${halves[k + apart] ?? ''}`));
  }
  return numbers;
}
