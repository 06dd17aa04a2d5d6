import { isWarpUp } from '#engine/draft/drawdown.ts';
import type { CheckedCloth } from '#engine/weave/checks/checkTypes.ts';

/** What `plainChecks` finds. */
export interface PlainFindings {
  readonly longFloats: number;
  readonly stillThreads: number;
  readonly endKinds: number;
  readonly pickKinds: number;
  readonly layers: number;
  readonly joins: number;
}

const LOOK = 16;

/**
 * The heavier half of the checks (floats, still threads, kinds of threads, layers by Clapham's criterion, joins of layers)
 * as one would write them first: booleans in arrays, crossing by crossing. For timing beside the engine's.
 */
export function plainChecks(cloth: CheckedCloth, limitMm: number): PlainFindings {
  const { rows, ends } = cloth.drawdown;
  const up = Array.from({ length: rows }, (_, row) =>
    Array.from({ length: ends }, (_, end) => isWarpUp(cloth.drawdown, row, end)),
  );
  const across = Array.from({ length: ends }, (_, end) => up.map((row) => row[end]));
  const { longFloats: weftFloats, still: stillPicks } = runs(up, cloth.endXMm, limitMm);
  const { longFloats: warpFloats, still: stillEnds } = runs(across, cloth.rowYMm, limitMm);
  return {
    longFloats: weftFloats + warpFloats,
    stillThreads: stillPicks + stillEnds,
    endKinds: kinds(across),
    pickKinds: kinds(up),
    layers: layers(up, across),
    joins: joins(up) + joins(across),
  };
}

function runs(lines: readonly (readonly boolean[])[], at: ArrayLike<number>, limitMm: number) {
  let longFloats = 0;
  let still = 0;
  for (const line of lines) {
    let from = 0;
    for (let k = 1; k <= line.length; k++) {
      if (k < line.length && line[k] === line[from]) continue;
      if (from === 0 && k === line.length) still++;
      const mm = (at[Math.min(k, line.length - 1)] + at[k - 1] - at[from] - at[Math.max(from - 1, 0)]) / 2;
      if (k - from > 1 && mm > limitMm) longFloats++;
      from = k;
    }
  }
  return { longFloats, still };
}

function kinds(lines: readonly (readonly boolean[])[]): number {
  return new Set(lines.map((line) => line.map((mark) => (mark ? '1' : '0')).join(''))).size;
}

function layers(up: readonly (readonly boolean[])[], across: readonly (readonly boolean[])[]): number {
  const count = (line: readonly boolean[]) => line.reduce((sum, mark) => sum + (mark ? 1 : 0), 0);
  const r = up.map(count).sort((a, b) => a - b);
  const c = across.map(count).sort((a, b) => b - a);
  let found = 0;
  let sumR = 0;
  for (let s = 1; s < r.length; s++) {
    sumR += r[s - 1];
    let sumC = 0;
    for (let t = 1; t < c.length; t++) {
      sumC += c[t - 1];
      if (c[t - 1] < r.length - s) break;
      if (sumC - sumR === t * (r.length - s)) found++;
    }
  }
  return found + 1;
}

function joins(lines: readonly (readonly boolean[])[]): number {
  const found = new Set<number>();
  for (let column = 0; column + 32 <= lines[0].length; column += 32) {
    for (let start = 0; start + LOOK <= lines.length; start += 4) {
      const look = lines.slice(start, start + LOOK).map((line) => line.slice(column, column + 32));
      look.sort((a, b) => a.filter(Boolean).length - b.filter(Boolean).length);
      const raised = Array.from({ length: 32 }, () => false);
      for (let k = 0; k + 4 < LOOK; k++) {
        look[k].forEach((mark, end) => {
          if (mark) raised[end] = true;
        });
        if (k < 3) continue;
        if (look.slice(k + 1).every((line) => raised.every((mark, end) => !mark || line[end]))) found.add(start);
      }
    }
  }
  return found.size;
}
