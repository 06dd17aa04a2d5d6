import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawdownFromRows, isWarpUp } from '#engine/draft/drawdown.ts';
import { sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import type { CheckedCloth } from '#engine/weave/checks/checkTypes.ts';
import { partsOf } from '#engine/weave/checks/clothParts.ts';
import { findLayers, findNeverInterlacing } from '#engine/weave/checks/comingAway.ts';
import { warpLines } from '#engine/weave/checks/warpLines.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';
import { caseById } from '#tests/reference/cases.ts';

/**
 * Who holds whom down, thread by thread and one step at a time: of each thread, all threads that lie below it by way of
 * others. Shares nothing with the engine but the drawdown.
 */
function piecesByReach(cloth: CheckedCloth): string[] {
  const { rows, ends } = cloth.drawdown;
  const below: number[][] = Array.from({ length: rows + ends }, () => []);
  for (let row = 0; row < rows; row++) {
    for (let end = cloth.rowFirst[row]; end <= cloth.rowLast[row]; end++) {
      if (isWarpUp(cloth.drawdown, row, end)) below[rows + end].push(row);
      else below[row].push(rows + end);
    }
  }
  const reach = below.map((_, start) => {
    const seen = new Set([start]);
    const open = [start];
    for (let node = open.pop(); node !== undefined; node = open.pop()) {
      for (const next of below[node]) {
        if (seen.has(next)) continue;
        seen.add(next);
        open.push(next);
      }
    }
    return seen;
  });
  const pieces = new Set(
    reach.map((_, node) =>
      reach.flatMap((seen, other) => (seen.has(node) && reach[node].has(other) ? [other] : [])).join(),
    ),
  );
  return [...pieces].sort();
}

/** Threads that only lie on one another are told as one part where Clapham's criterion is used; they hold nothing together. */
function piecesOf(cloth: CheckedCloth): string[] {
  const { rows } = cloth.drawdown;
  const { count, endLayer, pickLayer } = partsOf(cloth);
  const threads = [...pickLayer, ...endLayer];
  return Array.from({ length: count }, (_, part) => threads.flatMap((each, k) => (each === part ? [k] : [])))
    .flatMap((part) => (part.every((k) => k < rows) || part.every((k) => k >= rows) ? part.map(String) : [part.join()]))
    .sort();
}

const whole = (rows: readonly (readonly number[])[]) => {
  const weave = drawdownFromRows(rows);
  return checkedPiece(weave, weave.rows, weave.ends);
};

describe('what a cloth comes away into', () => {
  const { inputs, expected } = caseById<
    { matrices_rows_are_picks_1_is_warp_up: Record<string, number[][]> },
    { hangs_together: Record<string, boolean> }
  >('textile', 'WT-13');

  it.each(Object.entries(inputs.matrices_rows_are_picks_1_is_warp_up))(
    'WT-13 (Clapham 1980; Brooks): %s',
    (name, rows) => {
      const cloth = whole(rows);
      const pieces = piecesByReach(cloth);
      expect(pieces.length === 1).toBe(expected.hangs_together[name]);
      expect(piecesOf(cloth)).toEqual(pieces);
    },
  );

  it('agrees with a search thread by thread, rows from edge to edge (seed 51)', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(9, 9), (weave) => {
        const cloth = checkedPiece(weave, weave.rows, weave.ends);
        expect(piecesOf(cloth)).toEqual(piecesByReach(cloth));
      }),
      { seed: 51, numRuns: 400 },
    );
  });

  it('agrees with it where rows pass part of the width, over words too (seed 52)', () => {
    fc.assert(
      fc.property(
        arbitraryDrawdown(12, 40),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { minLength: 12, maxLength: 12 }),
        (weave, spans) => {
          const spanOf = (row: number) =>
            [spans[row][0] % weave.ends, spans[row][1] % weave.ends].sort((a, b) => a - b);
          const rows = Array.from({ length: weave.rows }, (_, row) => spanOf(row));
          const cloth = checkedPiece(weave, weave.rows, weave.ends, {
            rowFirst: rows.map(([first]) => first),
            rowLast: rows.map(([, last]) => last),
          });
          expect(piecesOf(cloth)).toEqual(piecesByReach(cloth));
        },
      ),
      { seed: 52, numRuns: 300 },
    );
  });
});

describe('layers told of', () => {
  it('SD-01 (Brooks): two cloths, each of half the ends and picks', () => {
    const { expected } = caseById<unknown, { interlacement: number[][] }>('textile', 'SD-01');
    const cloth = checkedPiece(drawdownFromRows(expected.interlacement), 16, 20);
    expect(findLayers(cloth, partsOf(cloth))).toMatchObject([
      { kind: 'layers', weight: 'told', parts: 2, ends: 10, picks: 8 },
    ]);
  });

  it('SD-14 (Taylor’s rule): black and white change places, and are two cloths both ways', () => {
    const { expected } = caseById<unknown, Record<'black_on_face' | 'white_on_face', number[][]>>('textile', 'SD-14');
    for (const rows of [expected.black_on_face, expected.white_on_face]) {
      const cloth = checkedPiece(drawdownFromRows(rows), 12, 12);
      expect(findLayers(cloth, partsOf(cloth))).toMatchObject([{ kind: 'layers', parts: 2 }]);
    }
    const ours = doublePlain(['face', 'back'], ['face', 'back']);
    expect(sameDrawdown(ours, drawdownFromRows(expected.black_on_face))).toBe(true);
  });

  it('names ends and picks that never change side, and no others', () => {
    const cloth = whole([
      [1, 0, 1, 0, 0],
      [0, 1, 1, 1, 0],
      [1, 0, 1, 0, 0],
      [0, 0, 0, 0, 0],
    ]);
    const told = findNeverInterlacing(cloth, warpLines(cloth));
    expect(told.map(({ kind, places }) => [kind, places])).toEqual([
      ['neverInterlaces', [{ fromRow: 0, toRow: 3, fromEnd: 4, toEnd: 4 }]],
      ['neverInterlaces', [{ fromRow: 3, toRow: 3, fromEnd: 0, toEnd: 4 }]],
    ]);
  });
});
