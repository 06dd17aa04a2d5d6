import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { backView, complement, cycle, reverseEnds, rowsFromDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { satin, twill } from '#engine/weave/basicWeaves.ts';
import { type Floats, measureFloats } from '#engine/weave/floats.ts';
import {
  type Extent,
  endsChangingSide,
  interlacementsPerEnd,
  interlacementsPerPick,
  weaveFirmness,
} from '#engine/weave/interlacement.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const seed = 75;
const run = { seed, numRuns: 150 };

/** Floats of one line by plain counting: lengths by side, endless as Infinity. */
function countLine(line: readonly number[], extent: Extent): [number[], number[]] {
  const found: [number[], number[]] = [[], []];
  const n = line.length;
  if (line.every((side) => side === line[0])) {
    found[line[0]].push(extent === 'repeat' ? Number.POSITIVE_INFINITY : n);
    return found;
  }
  const first = extent === 'repeat' ? line.findIndex((side, i) => side !== line[(i + n - 1) % n]) : 0;
  let length = 1;
  for (let k = 1; k <= n; k++) {
    const side = line[(first + k) % n];
    const before = line[(first + k - 1) % n];
    if (k < n && side === before) length++;
    else {
      found[before].push(length);
      length = 1;
    }
  }
  return found;
}

function summary(lengths: readonly number[]) {
  const finite = lengths.filter(Number.isFinite);
  return {
    longest: Math.max(0, ...lengths),
    endless: lengths.length - finite.length,
    finite: finite.sort((a, b) => a - b),
  };
}

function fromStatistics({ longest, endless, histogram }: Floats['warpOnFace']) {
  const finite = Array.from(histogram).flatMap((times, length) => Array<number>(times).fill(length));
  return { longest, endless, finite };
}

describe.each(['repeat', 'piece'] as const)(
  `floats of a %s (random drawdowns up to 70 × 70, seed ${seed})`,
  (extent) => {
    it('are those found by counting along every thread', () => {
      fc.assert(
        fc.property(arbitraryDrawdown(), (d) => {
          const rows = rowsFromDrawdown(d);
          const across = rows.map((row) => countLine(row, extent));
          const along = rows[0].map((_, end) =>
            countLine(
              rows.map((row) => row[end]),
              extent,
            ),
          );
          const floats = measureFloats(d, extent);
          expect(fromStatistics(floats.weftOnFace)).toEqual(summary(across.flatMap(([down]) => down)));
          expect(fromStatistics(floats.weftOnBack)).toEqual(summary(across.flatMap(([, up]) => up)));
          expect(fromStatistics(floats.warpOnFace)).toEqual(summary(along.flatMap(([, up]) => up)));
          expect(fromStatistics(floats.warpOnBack)).toEqual(summary(along.flatMap(([down]) => down)));
        }),
        run,
      );
    });

    it('lie where they are said to', () => {
      fc.assert(
        fc.property(arbitraryDrawdown(40, 40), (d) => {
          const rows = rowsFromDrawdown(d);
          const { warpOnFace, weftOnFace } = measureFloats(d, extent);
          const { longest, longestAt } = weftOnFace;
          if (longestAt) {
            for (let k = 0; k < Math.min(longest, d.ends); k++) {
              expect(rows[longestAt.row][(longestAt.end + k) % d.ends]).toBe(0);
            }
          }
          if (warpOnFace.longestAt) {
            for (let k = 0; k < Math.min(warpOnFace.longest, d.rows); k++) {
              expect(rows[(warpOnFace.longestAt.row + k) % d.rows][warpOnFace.longestAt.end]).toBe(1);
            }
          }
        }),
        run,
      );
    });
  },
);

describe(`symmetries (seed ${seed})`, () => {
  it('exchange the faces when the cloth is turned over, and stay when a repeat is begun elsewhere', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(12, 12), fc.integer({ min: 0, max: 11 }), (d, by) => {
        const front = measureFloats(d);
        const back = measureFloats(backView(d));
        expect([...back.weftOnFace.histogram]).toEqual([...front.weftOnBack.histogram]);
        expect([...back.warpOnBack.histogram]).toEqual([...front.warpOnFace.histogram]);
        const shifted = measureFloats(cycle(d, by, by));
        expect([...shifted.weftOnFace.histogram]).toEqual([...front.weftOnFace.histogram]);
        expect(shifted.warpOnBack.longest).toBe(front.warpOnBack.longest);
        expect(weaveFirmness(complement(reverseEnds(d)))).toEqual(weaveFirmness(d));
      }),
      run,
    );
  });
});

describe('interlacements', () => {
  it(`are the changes of side along each thread (seed ${seed})`, () => {
    fc.assert(
      fc.property(arbitraryDrawdown(), fc.constantFrom<Extent>('repeat', 'piece'), (d, extent) => {
        const rows = rowsFromDrawdown(d);
        const from = extent === 'repeat' ? 0 : 1;
        const changes = (line: readonly number[]) =>
          line.filter((side, i) => i >= from && side !== line[(i + line.length - 1) % line.length]).length;
        expect([...interlacementsPerPick(d, extent)]).toEqual(rows.map(changes));
        expect([...interlacementsPerEnd(d, extent)]).toEqual(
          rows[0].map((_, end) => changes(rows.map((row) => row[end]))),
        );
        expect([...endsChangingSide(d, extent)]).toEqual(
          rows.map((row, j) =>
            j < from ? 0 : row.filter((side, end) => side !== rows[(j + rows.length - 1) % rows.length][end]).length,
          ),
        );
      }),
      run,
    );
  });

  it('of a piece cut from a satin miss only those at the edges', () => {
    const piece = tile(satin(8, 3, 'weft'), 8, 16);
    // One stitch in eight ends: two changes a repeat; at end 1 of pick 1 the stitch lies on the edge.
    expect(interlacementsPerPick(piece, 'repeat')[0]).toBe(4);
    expect(interlacementsPerPick(piece, 'piece')[0]).toBe(3);
  });

  it('tell a thread that never changes side', () => {
    const d = drawdownFromRows([
      [1, 1, 0],
      [1, 0, 1],
    ]);
    expect(measureFloats(d).warpOnFace.endless).toBe(1);
    expect(measureFloats(d, 'piece').warpOnFace.longest).toBe(2);
    expect(measureFloats(twill([2, 2])).warpOnFace.longest).toBe(2);
  });
});
