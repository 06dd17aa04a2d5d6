import { describe, expect, test } from 'vitest';
import { usualConventions } from '#app/draft/conventions.ts';
import { endsOfDraw, MOST_PIECES, piecesOfPlan, planDrafts } from '#app/weavingPlan/planDraft.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { weavingList } from '#document/weavingList.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { parseThreading } from '#engine/draft/orders.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { demand, filesOf } from '#tests/presets/presetFiles.ts';

const drafts = (sample: Sample, conventions = usualConventions) =>
  planDrafts(sample, weavingList(sample).items, conventions);
/** Beaten and wefted alike, lifted as said. */
const woven = (lifts: readonly number[][]): Sample => {
  const small = smallSample();
  return { ...small, picks: lifts.map((lift, k) => ({ passes: small.picks[k % 2].passes, lift })) };
};

describe('the draft on paper', () => {
  test('has one repeat of the draw, cut short or not, and all of one that does not come again', () => {
    // Point draws as they are written in the trade: 1-8 7-2 comes again after 14 ends, 1-5 4-2 after 8.
    expect(endsOfDraw(parseThreading('1-8 7-2 x5, 1'))).toBe(14);
    expect(endsOfDraw(parseThreading('(1-5, 4-2) x12, 1'))).toBe(8);
    expect(endsOfDraw(parseThreading('1-4 x3, 5-8 x3'))).toBe(24);
  });

  test.each(filesOf('samples').map(({ id, text }) => [id, text] as const))(
    'of %s lifts warp where a shaft of the pick is up, and fits on paper',
    (_id, text) => {
      const sample = demand(readSampleText(text));
      const { control } = sample.loom;
      const raised = (lift: readonly number[]) => {
        const pulled = lift.flatMap((treadle) =>
          control.kind === 'treadles' ? sample.warp.tieUp![treadle - 1] : treadle,
        );
        return (shaft: number) =>
          control.kind === 'treadles' && control.action === 'sinking'
            ? !pulled.includes(shaft)
            : pulled.includes(shaft);
      };
      for (const { sheet, ends, picks, widthPx, heightPx } of drafts(sample)) {
        // A4 within margins of 15 mm is 180 mm by 267 mm; a CSS px is 1/96 of an inch.
        expect(widthPx).toBeLessThanOrEqual((180 / 25.4) * 96);
        expect(heightPx).toBeLessThanOrEqual((267 / 25.4) * 96);
        expect(ends[1] - ends[0] + 1).toBe(sheet.drawdown.ends);
        expect([picks[0], picks[1]]).toEqual([sheet.rowPick[0] + 1, sheet.rowPick[sheet.drawdown.rows - 1] + 1]);
        for (let row = 0; row < sheet.drawdown.rows; row++) {
          const up = raised(sample.picks[sheet.rowPick[row]].lift);
          for (let end = 0; end < sheet.drawdown.ends; end++)
            expect(isWarpUp(sheet.drawdown, row, end)).toBe(up(sheet.threading[end]));
        }
      }
    },
  );

  test('draws each round once, its picks numbered as in the list, with a line between rounds', () => {
    const plain = Array(6)
      .fill([
        [1, 3, 5, 7],
        [2, 4, 6, 8],
      ])
      .flat();
    const twill = Array(5)
      .fill([
        [1, 2],
        [2, 3],
        [3, 4],
        [4, 1],
      ])
      .flat();
    const [draft, ...more] = drafts(woven([...plain, ...twill]));
    expect(more).toEqual([]);
    expect(Array.from(draft.sheet.rowPick)).toEqual([0, 1, 12, 13, 14, 15]);
    // Two picks lie below it, so that it is the fourth line from the top.
    expect(draft.roundLines).toEqual([4]);
    expect([0, 1, 2, 3, 4, 5].every((row) => draft.sheet.isNumbered!(row))).toBe(true);
    const [turned] = drafts(woven([...plain, ...twill]), { ...usualConventions, firstPick: 'above' });
    expect(Array.from(turned.sheet.rowPick)).toEqual([15, 14, 13, 12, 1, 0]);
    expect(turned.roundLines).toEqual([2]);
  });

  test('comes in pieces where picks repeat nowhere, each numbered on from the last', () => {
    // Pick k raises the shafts of the bits of k + 1: no two picks alike.
    const lifts = Array.from({ length: 150 }, (_, k) =>
      [1, 2, 3, 4, 5, 6, 7, 8].filter((shaft) => ((k + 1) >> (shaft - 1)) & 1),
    );
    const list = drafts(woven(lifts));
    expect(list.map(({ picks }) => picks)).toEqual([
      [1, 50],
      [51, 100],
      [101, 150],
    ]);
  });

  test('is left out where it would come in more pieces than anybody looks through', () => {
    // Digits of k to the base of 255, each with its own bits: no lines of these come again one after the other.
    const shafts = (bits: number) => [1, 2, 3, 4, 5, 6, 7, 8].filter((shaft) => (bits >> (shaft - 1)) & 1);
    const lifts = (count: number) =>
      Array.from({ length: count }, (_, k) =>
        shafts(k % 2 ? 1 + (Math.floor(k / 2) % 255) : 1 + (Math.floor(k / 510) % 255)),
      );
    const long = woven(lifts(64 * (MOST_PIECES + 2)));
    expect(piecesOfPlan(long, weavingList(long).items)).toBeGreaterThan(MOST_PIECES);
    expect(drafts(long)).toEqual([]);
    const short = woven(lifts(200));
    expect(drafts(short)).toHaveLength(piecesOfPlan(short, weavingList(short).items));
    expect(drafts(short).length).toBeGreaterThan(1);
  });
});
