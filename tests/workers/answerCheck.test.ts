import { describe, expect, it } from 'vitest';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin } from '#engine/weave/basicWeaves.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';
import { answerCheck } from '#workers/answerCheck.ts';
import type { CheckAnswers, CheckJob } from '#workers/checkProtocol.ts';

/** There and back as a worker's messages go. */
function asked<Kind extends CheckJob['kind']>(job: Extract<CheckJob, { kind: Kind }>): CheckAnswers[Kind] {
  return structuredClone(answerCheck(structuredClone(job))) as CheckAnswers[Kind];
}

describe('questions to the checking worker', () => {
  it('a cloth: an eight-end satin 1 mm apart floats 7 mm', () => {
    const found = asked<'check'>({ kind: 'check', cloth: checkedPiece(satin(8, 3, 'weft'), 16, 24), floatLimitMm: 6 });
    expect(found.filter(({ kind }) => kind === 'longFloat')[1]).toMatchObject({
      system: 'weft',
      side: 'face',
      threads: 7,
    });
  });

  it('a loom: plain weave on four shafts, lifted and trodden', () => {
    const drawdown = tile(plainWeave(), 8, 12);
    const threading = Uint8Array.from({ length: 12 }, (_, end) => (end % 4) + 1);
    const lifted = asked<'fit'>({ kind: 'fit', drawdown, threading, shafts: 4 });
    expect([lifted.changed, lifted.lifts[0], lifted.lifts[2]]).toEqual([0, 0b0101, 0b1010]);
    const treadles = setsFromLists(
      [
        [1, 2],
        [1, 3],
        [2, 4],
      ],
      4,
      'shaft',
      'treadle',
    );
    const trodden = asked<'fit'>({
      kind: 'fit',
      drawdown,
      threading,
      shafts: 4,
      tieUp: { shafts: 4, shed: 'rising', treadles },
    });
    expect([trodden.changed, trodden.lifts[0], trodden.lifts[2]]).toEqual([0, 0b010, 0b100]);
  });

  it('lifts: plain weave takes two treadles', () => {
    const { tieUp, fewest } = asked<'tieUp'>({
      kind: 'tieUp',
      liftPlan: setsFromLists(
        [
          [1, 3],
          [2, 4],
          [1, 3],
        ],
        4,
      ),
      shafts: 4,
    });
    expect([tieUp.treadles.length / 2, fewest]).toEqual([2, 2]);
  });

  it('a fault: nothing where nothing is wrong', () => {
    const cloth = {
      drawdown: tile(plainWeave(), 40, 40),
      endYarn: Array.from({ length: 40 }, () => 0),
      rowYarn: Array.from({ length: 40 }, () => 1),
      colours: [
        [0, 0, 0.1],
        [0.8, 0.8, 0.7],
      ] as const,
      widthsMm: [1, 1],
      endXMm: Array.from({ length: 40 }, (_, k) => k),
      rowYMm: Array.from({ length: 40 }, (_, k) => k),
    };
    const right = {
      kind: 'notice',
      right: cloth,
      faulty: cloth,
      place: { row: 20, end: 20 },
      spreadPerMm: 1e-4,
    } as const;
    expect(asked<'notice'>(right)).toEqual({ faceMm: 0, backMm: 0 });
  });

  it('a threading that does not fit says so', () => {
    const drawdown = tile(plainWeave(), 8, 12);
    expect(() => asked<'fit'>({ kind: 'fit', drawdown, threading: Uint8Array.of(1, 2), shafts: 4 })).toThrow(
      /2 ends and the design 12/,
    );
  });
});
