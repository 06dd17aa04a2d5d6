import { describe, expect, test } from 'vitest';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { type GrinTable, grinInSteps } from '#engine/packing/far/grin.ts';
import { HIDES_WARP, HIDES_WEFT, hiddenThreads } from '#engine/packing/far/grinHidden.ts';
import { grinAt, worstBlock, worstGrin } from '#engine/packing/far/grinReading.ts';
import { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { clothFixture, type FixtureOptions } from '#tests/helpers/clothFixtures.ts';
import { pack } from '#tests/helpers/clothProbe.ts';
import { finish } from '#tests/helpers/finish.ts';

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });
const FACE = [0, 0, 1] as const;
const BACK = [0, 0, -1] as const;
/** Towards the eye, the cloth turned about its upright or tipped about its level. */
const turned = (degrees: number) =>
  [Math.sin((degrees * Math.PI) / 180), 0, Math.cos((degrees * Math.PI) / 180)] as const;
const tipped = (degrees: number) =>
  [0, Math.sin((degrees * Math.PI) / 180), Math.cos((degrees * Math.PI) / 180)] as const;

function grinOf(options: FixtureOptions): GrinTable {
  const fixture = clothFixture(options);
  const cloth = pack(fixture);
  return finish(grinInSteps(cloth, fixture.problem.drawdown, buildFar(cloth)));
}

/** Plain weave of round threads, one a millimetre. */
const plain = (warpMm: number, weftMm: number): FixtureOptions => ({
  ends: 24,
  rows: 24,
  periodRows: 2,
  periodEnds: 2,
  warp: [round(warpMm)],
  weft: [round(weftMm)],
});

/** Shares of a class's cells from 600 lines of sight, evenly spread. */
const SHARE_ERROR = 0.015;

describe('grin-through, square-on', () => {
  // F. T. Peirce 1937, J. Textile Inst. 28, T45: a family of width d at pitch p covers k = d / p. Of a crossing's cell the
  // upper thread covers its k, and what it leaves open shows the lower one's.
  test.each([
    [0.7, 0.7],
    [0.8, 0.6],
    [0.5, 0.9],
  ])('plain weave of cover %f and %f shows what the cover geometry leaves beside the upper thread', (k1, k2) => {
    const table = grinOf(plain(k1, k2));
    const all = k1 + k2 - k1 * k2;
    const underWarp = ((1 - k1) * k2) / all;
    const underWeft = ((1 - k2) * k1) / all;
    for (const view of [FACE, BACK]) {
      const { share, mean } = grinAt(table, view);
      expect(Math.abs(mean - (underWarp + underWeft) / 2)).toBeLessThan(SHARE_ERROR);
      for (let block = 0; block < 4; block++) {
        // Warp lies over where pick and end number agree; from the back the other way round.
        const warpOver = (((block >> 1) + block) % 2 === 0) === view[2] > 0;
        expect(Math.abs(share[block] - (warpOver ? underWarp : underWeft))).toBeLessThan(2 * SHARE_ERROR);
      }
    }
  });

  test('is none where straight threads that touch lie over all others', () => {
    const table = grinOf({ ...plain(1, 0.8), warpUp: () => true });
    expect(grinAt(table, FACE).mean).toBe(0);
    expect(worstGrin(table, 'face').mean).toBe(0);
    // From the back the picks, which leave a fifth open, hide the ends.
    expect(Math.abs(grinAt(table, BACK).mean - 0.2)).toBeLessThan(SHARE_ERROR);
  });
});

describe('grin-through over the turn', () => {
  // Round threads of diameter d at pitch p, seen square to them from the angle a off the normal, cover d / (p cos a).
  test.each([25, 45])('between straight round ends closes as they cover each other, at %i°', (degrees) => {
    const table = grinOf({ ...plain(0.6, 1), warpUp: () => true });
    const covered = 0.6 / Math.cos((degrees * Math.PI) / 180);
    for (const sense of [1, -1]) {
      expect(Math.abs(grinAt(table, turned(sense * degrees)).mean - (1 - covered))).toBeLessThan(SHARE_ERROR);
    }
    // Looked along, the ends hide no more than square-on.
    expect(Math.abs(grinAt(table, tipped(degrees)).mean - 0.4)).toBeLessThan(SHARE_ERROR);
  });

  test('of a rep’s straight warp only falls as it is tipped, since picks hide more of it', () => {
    const table = grinOf({ ...plain(0.5, 0.8), warpShare: 0 });
    const means = [0, 15, 25, 35, 45, 60].map((degrees) => grinAt(table, tipped(degrees)).mean);
    expect(means[0]).toBeGreaterThan(0.1);
    expect(means[5]).toBeLessThan(0.75 * means[0]);
    for (let k = 1; k < means.length; k++) expect(means[k]).toBeLessThanOrEqual(means[k - 1] + SHARE_ERROR);
  });

  test('at its worst is at least that of any turn, and says which', () => {
    const table = grinOf({ ...plain(0.5, 0.8), warpShare: 0 });
    const worst = worstGrin(table, 'face');
    for (const degrees of [-60, -45, -25, 0, 25, 45, 60]) {
      for (const view of [turned(degrees), tipped(degrees)]) {
        const { share, mean } = grinAt(table, view);
        expect(mean).toBeLessThanOrEqual(worst.mean + 1e-6);
        for (const [block, value] of share.entries()) expect(value).toBeLessThanOrEqual(worst.share[block] + 1e-6);
      }
    }
    const block = worstBlock(worst);
    expect(worst.share[block]).toBe(Math.max(...worst.share));
    expect([0, 25, 45, 60]).toContain(worst.degrees[block]);
  });
});

describe('the map', () => {
  test('tells a gappy stripe from the dense cloth about it', () => {
    const table = grinOf({
      ...plain(1, 0.7),
      periodRows: 24,
      periodEnds: 24,
      warp: [round(1), round(0.4)],
      weft: [round(0.7)],
      endYarn: (end) => (end >= 8 && end < 16 ? 1 : 0),
    });
    expect([table.blocksAcross, table.endsPerBlock]).toEqual([6, 4]);
    const { share } = grinAt(table, FACE);
    for (let up = 0; up < table.blocksUp; up++) {
      const row = [...share.subarray(up * 6, up * 6 + 6)];
      expect(Math.min(row[2], row[3])).toBeGreaterThan(1.4 * Math.max(row[0], row[1], row[4], row[5]));
    }
  });
});

describe('what the draft hides', () => {
  /** The first end over the first pick alone, and so on: rows of 1 where warp is up. */
  function hiddenOf(rows: readonly (readonly number[])[]) {
    const fixture = clothFixture({
      ...plain(0.5, 0.5),
      rows: rows.length,
      ends: rows[0].length,
      periodRows: rows.length,
      periodEnds: rows[0].length,
      warpUp: (row, end) => rows[row][end] === 1,
    });
    const reader = new ClothReader(pack(fixture));
    return finish(hiddenThreads(reader, fixture.problem.drawdown, rows.length, rows[0].length));
  }

  test('is the lower thread of a single cloth, and the other one from the back', () => {
    const { face, back } = hiddenOf([
      [1, 0],
      [0, 1],
    ]);
    expect([...face]).toEqual([HIDES_WEFT, HIDES_WARP, HIDES_WARP, HIDES_WEFT]);
    expect([...back]).toEqual([HIDES_WARP, HIDES_WEFT, HIDES_WEFT, HIDES_WARP]);
  });

  // Double plain cloth, ends and picks face and back in turn: J. T. Taylor 1909, Cotton Weaving and Designing, double cloths.
  test('is both threads of the cloth behind where a draft weaves two', () => {
    const both = HIDES_WARP | HIDES_WEFT;
    const { face, back } = hiddenOf([
      [1, 0, 0, 0],
      [1, 1, 1, 0],
      [0, 0, 1, 0],
      [1, 0, 1, 1],
    ]);
    // Face ends are the first and third, face picks too.
    expect([face[5], face[7], face[13], face[15]]).toEqual([both, both, both, both]);
    expect([face[0], face[2], face[1], face[4]]).toEqual([HIDES_WEFT, HIDES_WARP, HIDES_WARP, HIDES_WEFT]);
    expect([back[0], back[2], back[8], back[10]]).toEqual([both, both, both, both]);
    expect([back[5], back[7]]).toEqual([HIDES_WARP, HIDES_WEFT]);
  });
});
