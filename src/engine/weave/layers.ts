import type { Drawdown } from '#engine/draft/drawdown.ts';
import { endsUpPerPick, picksBelowPerEnd } from './interlacement.ts';

export interface Layers {
  /** 1 where the cloth hangs together. */
  readonly count: number;
  /** Per end and per pick: its layer, 0 uppermost on the face. */
  readonly endLayer: Uint32Array;
  readonly pickLayer: Uint32Array;
}

/**
 * The layers into which a repeat would fall apart if nothing else held it: parts that lie wholly over one another.
 * A thread that never interlaces is a layer of its own.
 *
 * C. R. J. Clapham 1980, Bull. London Math. Soc. 12, 161 (criterion from memory). Let end j lie over c_j picks and pick i
 * under r_i ends, m picks in all. If s picks and t ends form an upper part, their ends lie over all m − s other picks
 * and their picks under upper ends only, so that  Σ c − Σ r = t (m − s);  for any other choice the left side is less.
 * So only the s least r and the t greatest c need be tried, and of t only those with c > m − s, with or without c = m − s.
 */
export function layersOf(drawdown: Drawdown): Layers {
  const { rows: m, ends: n } = drawdown;
  const r = endsUpPerPick(drawdown);
  const c = picksBelowPerEnd(drawdown);
  const pickOrder = orderBy(r, 1);
  const endOrder = orderBy(c, -1);
  const endLayer = new Uint32Array(n);
  const pickLayer = new Uint32Array(m);

  let layer = -1;
  let doneEnds = 0;
  let donePicks = 0;
  const closeLayer = (ends: number, picks: number) => {
    if (ends === doneEnds && picks === donePicks) return;
    layer++;
    for (; doneEnds < ends; doneEnds++) endLayer[endOrder[doneEnds]] = layer;
    for (; donePicks < picks; donePicks++) pickLayer[pickOrder[donePicks]] = layer;
  };

  // As s grows, m − s falls and ends join the upper part in order of c.
  let sumR = 0;
  let sumC = 0;
  let t = 0;
  for (let s = 0; s <= m; s++) {
    if (s > 0) sumR += r[pickOrder[s - 1]];
    for (; t < n && c[endOrder[t]] > m - s; t++) sumC += c[endOrder[t]];
    const cutsBefore = sumC - sumR === t * (m - s);
    if (cutsBefore) closeLayer(t, s);
    for (; t < n && c[endOrder[t]] === m - s; t++) sumC += c[endOrder[t]];
    if (cutsBefore) closeLayer(t, s);
  }
  return { count: layer + 1, endLayer, pickLayer };
}

/** Whether a repeat holds as one cloth. An empty drawdown does not. */
export function hangsTogether(drawdown: Drawdown): boolean {
  return layersOf(drawdown).count === 1;
}

function orderBy(values: Uint32Array, direction: 1 | -1): Uint32Array {
  return Uint32Array.from(values.keys()).sort((a, b) => direction * (values[a] - values[b]) || a - b);
}
