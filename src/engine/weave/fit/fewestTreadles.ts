import type { ShaftSets } from './distinctSets.ts';

/**
 * A number of treadles below which no tie-up makes these lifts, the greater of two:
 * n treadles, k at once, make at most Σ C(n, 1..k) lifts; and where lifts and shafts can be paired off so that of any two
 * pairs one lift lacks the other's shaft, no treadle serves both pairs (fooling set; A. Aho, J. Ullman & M. Yannakakis
 * 1983, for rectangle covers; from memory). The pairs are chosen greedily, the rarest shafts first.
 */
export function fewestTreadles(lifts: ShaftSets, pressedAtOnce: number): number {
  return Math.max(byCounting(lifts.length, pressedAtOnce), foolingSet(lifts));
}

function byCounting(lifts: number, pressedAtOnce: number): number {
  for (let n = 0; ; n++) {
    let sum = 0;
    let choose = 1;
    for (let k = 1; k <= Math.min(n, pressedAtOnce); k++) {
      choose = (choose * (n - k + 1)) / k;
      sum += choose;
    }
    if (sum >= lifts) return n;
  }
}

function foolingSet(lifts: ShaftSets): number {
  const pairs: { lift: bigint; shaft: bigint; rarity: number }[] = [];
  for (const lift of lifts) {
    for (let rest = lift; rest !== 0n; rest &= rest - 1n) {
      const shaft = rest & -rest;
      pairs.push({ lift, shaft, rarity: lifts.filter((other) => (other & shaft) !== 0n).length });
    }
  }
  pairs.sort((a, b) => a.rarity - b.rarity);
  const chosen: typeof pairs = [];
  for (const pair of pairs) {
    if (chosen.every((other) => (other.lift & pair.shaft) === 0n || (pair.lift & other.shaft) === 0n))
      chosen.push(pair);
  }
  return chosen.length;
}
