import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/**
 * Layers of a repeat by searching, crossing by crossing, what lies below what: two threads are of one layer where each can
 * be reached from the other by going from thread to a thread beneath it (S. R. Kosaraju's two passes). Knows nothing of
 * sums of crossings, by which the engine counts layers.
 */
export function layersByReach(drawdown: Drawdown): number {
  const { rows, ends } = drawdown;
  const count = rows + ends;
  // Threads 0 … ends − 1 are ends, the rest picks.
  const isBelow = (above: number, below: number): boolean => {
    if (above < ends === below < ends) return false;
    return above < ends ? isWarpUp(drawdown, below - ends, above) : !isWarpUp(drawdown, above - ends, below);
  };
  const visited = new Uint8Array(count);
  const visit = (start: number, follows: (from: number, to: number) => boolean, done: (thread: number) => void) => {
    const path: { thread: number; next: number }[] = [{ thread: start, next: 0 }];
    visited[start] = 1;
    for (let here = path.at(-1); here !== undefined; here = path.at(-1)) {
      while (here.next < count && (visited[here.next] || !follows(here.thread, here.next))) here.next++;
      if (here.next === count) {
        done(here.thread);
        path.pop();
      } else {
        visited[here.next] = 1;
        path.push({ thread: here.next, next: 0 });
      }
    }
  };
  const finished: number[] = [];
  for (let thread = 0; thread < count; thread++) {
    if (!visited[thread]) visit(thread, isBelow, (done) => finished.push(done));
  }
  visited.fill(0);
  let layers = 0;
  for (const thread of finished.toReversed()) {
    if (visited[thread]) continue;
    layers++;
    visit(
      thread,
      (from, to) => isBelow(to, from),
      () => {},
    );
  }
  return layers;
}
