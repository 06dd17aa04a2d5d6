import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import type { CheckedCloth, Finding } from '#engine/weave/checks/checkTypes.ts';
import { findLongFloats, findPileFloats, threadLines } from '#engine/weave/checks/longFloats.ts';
import { FLOAT_LIMIT_MM } from '#engine/weave/checks/uses.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';
import { caseById } from '#tests/reference/cases.ts';

const floatsOf = (cloth: CheckedCloth, limitMm: number | null) => findLongFloats(cloth, threadLines(cloth), limitMm);
const told = (findings: readonly Finding[]) =>
  findings.flatMap((each) =>
    each.kind === 'longFloat' ? [`${each.system} ${each.side}: ${each.count}, ${each.longestMm.toFixed(6)} mm`] : [],
  );

/** Crossing by crossing, without words or masks; rows run from edge to edge. */
function plainly({ drawdown, endXMm, rowYMm }: CheckedCloth, limitMm: number): string[] {
  const { rows, ends } = drawdown;
  const found: string[] = [];
  for (const system of ['warp', 'weft'] as const) {
    const [lines, along, at] = system === 'warp' ? [ends, rows, rowYMm] : [rows, ends, endXMm];
    const up = (line: number, k: number) =>
      system === 'warp' ? isWarpUp(drawdown, k, line) : isWarpUp(drawdown, line, k);
    const middle = (k: number) => {
      if (along === 1) return 0;
      if (k < 0) return at[0] - (at[1] - at[0]) / 2;
      return k + 1 < along ? (at[k] + at[k + 1]) / 2 : at[k] + (at[k] - at[k - 1]) / 2;
    };
    for (const side of ['face', 'back'] as const) {
      let count = 0;
      let longest = 0;
      for (let line = 0; line < lines; line++) {
        let from = 0;
        for (let k = 0; k < along; k++) {
          if (k + 1 < along && up(line, k + 1) === up(line, k)) continue;
          const mm = middle(k) - middle(from - 1);
          const onFace = up(line, k) === (system === 'warp');
          if (k > from && onFace === (side === 'face') && mm > limitMm) {
            count++;
            longest = Math.max(longest, mm);
          }
          from = k + 1;
        }
      }
      if (count > 0) found.push(`${system} ${side}: ${count}, ${longest.toFixed(6)} mm`);
    }
  }
  return found;
}

describe('floats too long for the use', () => {
  it('finds those that a plain count finds, at uneven spacings (seed 61)', () => {
    fc.assert(
      fc.property(
        arbitraryDrawdown(40, 70),
        fc.array(fc.double({ min: 0.3, max: 1.5, noNaN: true }), { minLength: 70, maxLength: 70 }),
        fc.double({ min: 0.5, max: 6, noNaN: true }),
        (weave, gaps, limitMm) => {
          let x = 0;
          const places = gaps.map((gap) => {
            x += gap;
            return x;
          });
          const cloth = checkedPiece(weave, weave.rows, weave.ends, {
            endXMm: places.slice(0, weave.ends),
            rowYMm: places.slice(0, weave.rows),
          });
          expect(told(floatsOf(cloth, limitMm))).toEqual(plainly(cloth, limitMm));
        },
      ),
      { seed: 61, numRuns: 250 },
    );
  });

  it('a float over ten ends is half an inch at 20 ends an inch (common practice: ends over ends an inch)', () => {
    const perInch = Array.from({ length: 44 }, (_, end) => (end * 25.4) / 20);
    const cloth = checkedPiece(satin(11, 3, 'weft'), 22, 44, { endXMm: perInch });
    const [weft] = floatsOf(cloth, 12.6).filter((each) => each.kind === 'longFloat' && each.system === 'weft');
    expect(weft).toMatchObject({ side: 'face', threads: 10 });
    expect(weft.kind === 'longFloat' && weft.longestMm).toBeCloseTo(12.7, 9);
  });

  it('SD-04: an eight-end satin at 10 ends a cm floats 7 mm: too long for garments, not for scarves', () => {
    const { expected } = caseById<unknown, { max_weft_float: number }>('textile', 'SD-04');
    const cloth = checkedPiece(satin(8, 3, 'weft'), 16, 24);
    expect(floatsOf(cloth, FLOAT_LIMIT_MM.garments).find(({ side }) => side === 'face')).toMatchObject({
      system: 'weft',
      threads: expected.max_weft_float,
    });
    expect(floatsOf(cloth, FLOAT_LIMIT_MM.scarves)).toEqual([]);
    expect(floatsOf(cloth, FLOAT_LIMIT_MM.hangings)).toEqual([]);
  });

  it('points at the float and at nothing beyond a weft that passes part of the width', () => {
    const cloth = checkedPiece(plainWeave(), 6, 40);
    // Row 2 passes ends 10..29 and lies over 12..20.
    for (let end = 12; end <= 20; end++) cloth.drawdown.bits[2 * 2 + (end >>> 5)] &= ~(1 << (end & 31));
    const rowFirst = [0, 0, 10, 0, 0, 0];
    const rowLast = [39, 39, 29, 39, 39, 39];
    const found = floatsOf({ ...cloth, rowFirst, rowLast }, 5).filter(
      (each) => each.kind === 'longFloat' && each.system === 'weft',
    );
    expect(found.map(({ side, places }) => [side, places])).toEqual([
      ['face', [{ fromRow: 2, toRow: 2, fromEnd: 11, toEnd: 21 }]],
    ]);
  });
});

describe('pile yarns', () => {
  const chenille = [
    { pile: false, diameterMm: 0.5 },
    { pile: true, diameterMm: 2 },
  ];
  const pileOf = (cloth: CheckedCloth) => findPileFloats(cloth, threadLines(cloth));

  it('a chenille weft in 2/2 twill holds, in 1/3 twill it is told of on the face alone (common practice: two ends)', () => {
    const rowYarn = Array.from({ length: 16 }, () => 1);
    expect(pileOf(checkedPiece(twill([2, 2]), 16, 16, { yarns: chenille, rowYarn }))).toEqual([]);
    const found = pileOf(checkedPiece(twill([1, 3]), 16, 16, { yarns: chenille, rowYarn }));
    expect(found).toMatchObject([{ kind: 'pileFloat', system: 'weft', side: 'face', threads: 3 }]);
  });

  it('looks at no other yarn', () => {
    const rowYarn = Array.from({ length: 16 }, (_, row) => (row === 5 ? 1 : 0));
    const found = pileOf(checkedPiece(twill([1, 3]), 16, 16, { yarns: chenille, rowYarn }));
    expect(found[0].places.every(({ fromRow }) => fromRow === 5)).toBe(true);
  });
});
