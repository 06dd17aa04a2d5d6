import { describe, expect, test } from 'vitest';
import type { Cutting } from '#engine/cloth/after/afterTypes.ts';
import { isInside, partingLine, pickPositions, placeOf, pointsOf } from '#engine/cloth/after/cutLine.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { cutFixture, double, place, plain, sateen, seenFrom, square } from '#tests/helpers/cutScenes.ts';

describe('clipped floats', () => {
  const clip: Cutting = { kind: 'clip', side: 'face', threads: 'weft', atLeast: 4, leaveMm: 0.6 };

  test('are gone between their ends, and what lay under them is seen; nothing else moves', () => {
    const woven = seenFrom(sateen());
    const cut = cutFixture(sateen(), [clip]);
    const seen = seenFrom(cut);
    let bared = 0;
    for (let row = 5; row < 19; row++) {
      for (let end = 5; end < 19; end++) {
        // Four crossings from where the weft goes under; the middle two are clear of what is left standing.
        const from = (end + 50 - 2 * row + 500) % 5;
        if (from === 2 || from === 3) {
          expect(woven(end, row)).toBe(`weft ${row}`);
          expect(seen(end, row)).toBe(`warp ${end}`);
          expect(seen(end + 0.5, row)).not.toMatch('weft');
          bared++;
        } else if (from === 0) expect(seen(end, row)).toBe(woven(end, row));
      }
    }
    expect(bared).toBeGreaterThan(70);
    expect(cut.cut.reports[0].cuts).toBeGreaterThan(80);
    expect(cut.cut.reports[0].fallen).toBe(0);
  });

  test('leave of each float what was asked, and the weight says so', () => {
    // Clipped 0.6 mm from the crossings at either end of 5 mm of weft, of 10 mm of both threads to the repeat.
    const { goneShare } = cutFixture(sateen(), [clip]).cut.reports[0];
    // Floats at the borders are held at one end only, and stay: of 23 mm about 17 are clipped.
    expect(goneShare).toBeGreaterThan(0.75 * ((5 - 1.2) / 10));
    expect(goneShare).toBeLessThan((5 - 1.2) / 10);
    const { readings } = cutFixture(sateen(), [clip]);
    expect(readings.weightGPerM2.value).toBeCloseTo(200 * (1 - goneShare), 6);
    expect(readings.widthMm.value).toBe(100);
  });

  test('only within the part, only from the length on, and none on plain cloth', () => {
    const part = { fromEnd: 1, toEnd: 12, fromPick: 3, toPick: 6 };
    const within = seenFrom(cutFixture(sateen(), [{ ...clip, part }]));
    const woven = seenFrom(sateen());
    for (let row = 0; row < 24; row++) {
      for (let end = 13; end < 22; end++) expect(within(end, row)).toBe(woven(end, row));
    }
    const none = { cuts: 0, nothing: 'noFloats' } as const;
    expect(cutFixture(sateen(), [{ ...clip, atLeast: 5 }]).cut.reports[0]).toMatchObject(none);
    expect(cutFixture(plain(), [{ ...clip, atLeast: 2, threads: 'both' as const }]).cut.reports[0]).toMatchObject(none);
  });
});

describe('a cut through', () => {
  const outline: Cutting = {
    kind: 'cut',
    line: square(5.5, 6.5, 17.5, 15.5),
    closed: true,
    what: 'through',
    keep: 'inside',
    frayMm: 0,
  };

  test('leaves the inside as it lay and nothing outside', () => {
    const woven = seenFrom(plain());
    const seen = seenFrom(cutFixture(plain(), [outline]));
    for (let x = -0.4; x < 24; x += 0.37) {
      for (let y = -0.4; y < 24; y += 0.37) {
        const found = seen(x, y);
        const outside = x < 5.2 || x > 17.8 || y < 6.2 || y > 15.8;
        const inside = x > 8.5 && x < 14.5 && y > 9.5 && y < 12.5;
        if (outside) expect(found, `${x}, ${y}`).toBe('nothing');
        if (inside) expect(found, `${x}, ${y}`).toBe(woven(x, y));
      }
    }
  });

  test('the other way round leaves the hole', () => {
    const seen = seenFrom(cutFixture(plain(), [{ ...outline, keep: 'outside' }]));
    const woven = seenFrom(plain());
    for (let x = 0; x < 24; x += 0.37) {
      for (let y = 0; y < 24; y += 0.37) {
        if (x > 5.8 && x < 17.2 && y > 6.8 && y < 15.2) expect(seen(x, y)).toBe('nothing');
        if (x < 3.5 || x > 19.5 || y < 4.5 || y > 17.5) expect(seen(x, y)).toBe(woven(x, y));
      }
    }
  });

  test('threads stand out to the cut, and not beyond it', () => {
    const line = square(5.5, 6.5, 17.3, 15.5);
    const seen = seenFrom(cutFixture(plain(), [{ ...outline, line }]));
    // Weft 10 is held by end 17 and stands 0.3 mm beyond.
    expect(seen(17.2, 10)).toMatch(/weft 10|warp 17/);
    expect(seen(17.28, 10.1)).toMatch(/weft 10/);
    expect(seen(17.45, 10)).toBe('nothing');
  });

  test('says the size of what is left and its share of the weight', () => {
    const cut = cutFixture(plain(), [outline]);
    expect(cut.cut.piece?.widthMm).toBeCloseTo(12, 5);
    expect(cut.cut.piece?.lengthMm).toBeCloseTo(9, 5);
    expect(cut.readings.widthMm.value).toBeCloseTo(12, 5);
    expect(cut.readings.lengthMm.high / cut.readings.lengthMm.value).toBeCloseTo(1.1, 9);
    // 12 ends of 9 mm and 9 wefts of 12 mm, of 48 threads of 23 mm.
    expect(cut.cut.reports[0].goneShare).toBeCloseTo(1 - (2 * 12 * 9) / (48 * 23), 5);
    // Its weight by the square metre stays.
    expect(cut.readings.weightGPerM2.value).toBe(200);
  });

  test('along an open line leaves the side that one keeps, as one follows it over the face', () => {
    const line = [place(9.5, 2), place(9.5, 20)];
    const left = seenFrom(cutFixture(plain(), [{ kind: 'cut', line, what: 'through', keep: 'left' }]));
    const right = seenFrom(cutFixture(plain(), [{ kind: 'cut', line, what: 'through', keep: 'right' }]));
    for (let y = 1; y < 23; y++) {
      expect(left(4, y)).not.toBe('nothing');
      expect(left(12, y)).toBe('nothing');
      expect(right(4, y)).toBe('nothing');
      expect(right(15, y)).not.toBe('nothing');
    }
  });

  test('of any open line, a point is to its left or to its right, never both', () => {
    // Bent, from lower left to upper right: upper left lies on its left.
    const line = partingLine(
      [
        { x: 0, y: 0 },
        { x: 10, y: 3 },
        { x: 20, y: 20 },
      ],
      200,
    );
    expect(isInside(line, 2, 18)).toBe(true);
    expect(isInside(line, 18, 2)).toBe(false);
    expect(isInside(line, 12, 20)).toBe(true);
    expect(isInside(line, 22, 20)).toBe(false);
  });

  test('is drawn where its ends and picks lie, on the cloth and beyond it, and read back', () => {
    const ends = [0, 0.4, 1.1, 1.5];
    const picks = pickPositions([0, 0, 1, 2], [0, 0, 0.7, 2]);
    expect(picks).toEqual([0, 0.7, 2]);
    const line = [
      { end: 1, pick: 1 },
      { end: 2.5, pick: 2.25 },
      { end: -3, pick: 5 },
    ];
    expect(pointsOf(line, ends, picks)[1].x).toBeCloseTo(0.75, 9);
    pointsOf(line, ends, picks).forEach((point, k) => {
      expect(placeOf(point, ends, picks).end).toBeCloseTo(line[k].end, 9);
      expect(placeOf(point, ends, picks).pick).toBeCloseTo(line[k].pick, 9);
    });
  });

  test('that would leave nothing is not made', () => {
    const line = square(40, 40, 50, 50);
    const cloth = cutFixture(plain(), [{ ...outline, line }]);
    expect(cloth.cut).toMatchObject({ reports: [{ cuts: 0, nothing: 'nothingLeft' }] });
    expect(cloth.cut.piece).toBeUndefined();
    expect(cloth.geometry.cutEnds).toEqual([]);
  });

  test('is drawn as large as what is left', () => {
    const { problem, geometry, materials } = cutFixture(plain(), [outline]);
    const { min, max } = packCloth(problem, geometry, materials).bounds;
    expect(max[0] - min[0]).toBeLessThan(12.6);
    expect(max[1] - min[1]).toBeLessThan(9.6);
  });

  test('beside the cloth cuts nothing and says so', () => {
    const line = square(40, 40, 50, 50);
    const { cut } = cutFixture(plain(), [{ ...outline, line, keep: 'outside' }]);
    expect(cut.reports[0]).toMatchObject({ cuts: 0, nothing: 'offTheCloth', goneShare: 0 });
  });
});

describe('one layer', () => {
  const layerWindow: Cutting = {
    kind: 'cut',
    line: square(6.5, 6.5, 17.5, 17.5),
    closed: true,
    what: 'layer',
    side: 'face',
  };

  test('cut out of double cloth shows the other', () => {
    const woven = seenFrom(double());
    const seen = seenFrom(cutFixture(double(), [layerWindow]));
    const lower = (thread: string) => Number(thread.split(' ').at(-1)) % 2 === 1;
    for (let x = 8; x < 16; x++) {
      for (let y = 8; y < 16; y++) {
        if (x % 2 === 0 || y % 2 === 0) expect(lower(woven(x, y)), `${x}, ${y}`).toBe(false);
        const found = seen(x, y);
        if (found !== 'nothing') expect(lower(found), `${x}, ${y}: ${found}`).toBe(true);
      }
    }
    for (let x = 1; x < 4; x++) expect(seen(x, 12)).toBe(woven(x, 12));
  });

  test('from the back, the other layer goes', () => {
    const seen = seenFrom(cutFixture(double(), [{ ...layerWindow, side: 'back' }]));
    for (let x = 8; x < 16; x++)
      for (let y = 8; y < 16; y++) expect(Number(seen(x, y).split(' ').at(-1)) % 2).not.toBe(1);
  });

  test('within a block whose layers change places beside it', () => {
    const half = double().problem.drawdown;
    const blocks = clothFixture({
      ends: 24,
      rows: 24,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: 0.5, heightMm: 0.5 }],
      // Right of end 12 the upper threads lie below.
      warpUp: (row, end) => isWarpUp(half, end < 12 ? row : row ^ 1, end < 12 ? end : end ^ 1),
    });
    const line = square(0.5, 6.5, 11.4, 17.5);
    expect(cutFixture(blocks, [{ ...layerWindow, line }]).cut.reports[0].cuts).toBeGreaterThan(5);
    // Across both blocks they are one cloth.
    const across = square(4.5, 6.5, 19.5, 17.5);
    expect(cutFixture(blocks, [{ ...layerWindow, line: across }]).cut.reports[0].nothing).toBe('oneLayer');
  });

  test('single cloth has none to cut', () => {
    expect(cutFixture(plain(), [layerWindow]).cut.reports[0]).toMatchObject({ cuts: 0, nothing: 'oneLayer' });
  });
});

describe('floats cut along a line', () => {
  test('part where they cross it and stand up to it', () => {
    const cut = cutFixture(sateen(), [
      { kind: 'cut', line: [place(11.7, -1), place(11.7, 24)], what: 'floats', side: 'face', atLeast: 4 },
    ]);
    const seen = seenFrom(cut);
    const { cuts, fallen } = cut.cut.reports[0];
    // Of five picks four float over the gap between ends 11 and 12 or lie under at one of them.
    expect(cuts).toBeGreaterThan(10);
    expect(cuts).toBeLessThanOrEqual(24);
    expect(fallen).toBe(0);
    let stand = 0;
    for (let row = 5; row < 19; row++) if (/^end of weft/.test(seen(11.4, row))) stand++;
    expect(stand).toBeGreaterThan(5);
  });
});
