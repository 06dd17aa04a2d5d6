import { describe, expect, test } from 'vitest';
import type { Cutting } from '#engine/cloth/after/afterTypes.ts';
import { cutFixture, double, place, plain, sateen, seenFrom, square } from '#tests/helpers/cutScenes.ts';

describe('what a cut loosens', () => {
  // Common practice: threads that run along a cut edge slip out of it, those that run into it stay and make a fringe.
  test('a thread that a slanting cut leaves with one crossing falls out; along the weave none does', () => {
    const straight = cutFixture(plain(), [
      { kind: 'cut', line: [place(9.5, 2), place(9.5, 20)], what: 'through', keep: 'left', frayMm: 0 },
    ]);
    expect(straight.cut.reports[0].fallen).toBe(0);
    const slanting = cutFixture(plain(), [
      { kind: 'cut', line: [place(0, 12), place(12, 0)], what: 'through', keep: 'right', frayMm: 0 },
    ]);
    // A corner is left, whose threads get shorter one by one towards its tips.
    expect(slanting.cut.reports[0].fallen).toBeGreaterThan(1);
  });

  test('sateen loses more at a cut edge than plain weave', () => {
    const circle = Array.from({ length: 40 }, (_, k) => {
      const at = (2 * Math.PI * k) / 40;
      return place(11.5 + 8.3 * Math.cos(at), 11.5 + 8.3 * Math.sin(at));
    });
    const disc: Cutting = { kind: 'cut', line: circle, closed: true, what: 'through', keep: 'inside', frayMm: 0 };
    const [firm, slack] = [plain(), sateen()].map((cloth) => cutFixture(cloth, [disc]).cut.reports[0]);
    expect(slack.fallen + slack.loose).toBeGreaterThan(firm.fallen + firm.loose);
  });
});

describe('a frayed edge', () => {
  const frayed = (frayMm: number): Cutting => ({
    kind: 'cut',
    line: square(3.5, 3.5, 20.5, 20.5),
    closed: true,
    what: 'through',
    keep: 'inside',
    frayMm,
  });

  test('loses the threads that run along it and keeps those that run into it, out to the cut', () => {
    const cloth = cutFixture(plain(), [frayed(2.2)]);
    // On each of four sides the threads 0.5 and 1.5 mm from the cut come out.
    expect(cloth.cut.reports[0].fallen).toBe(8);
    const seen = seenFrom(cloth);
    for (let k = 7; k < 17; k++) {
      // Right of end 18, the last that is left, wefts alone; not beyond the cut.
      expect(seen(19.3, k + 0.5)).not.toMatch('warp');
      expect(seen(20.8, k)).toBe('nothing');
      expect(seen(12, k)).not.toBe('nothing');
    }
    const fringe = Array.from({ length: 10 }, (_, k) => seen(18.9, 7 + k));
    expect(fringe.every((thread) => /^end of weft/.test(thread))).toBe(true);
    // The piece is as large with its fringe as it was cut.
    expect(cloth.cut.piece?.widthMm).toBeCloseTo(17, 5);
  });

  test('frays more the further it is let, and by itself a thread or two a side', () => {
    const fallen = (cutting: Cutting) => cutFixture(plain(), [cutting]).cut.reports[0].fallen;
    const { frayMm: _, ...usual } = frayed(0) as Cutting & { frayMm: number };
    expect(fallen(frayed(0))).toBe(0);
    expect(fallen(usual)).toBe(4);
    expect(fallen(frayed(3.1))).toBe(12);
  });

  test('an uncut thread along a straight cut comes out too', () => {
    const line = [place(9.6, 2), place(9.6, 20)];
    const cloth = cutFixture(plain(), [{ kind: 'cut', line, what: 'through', keep: 'left', frayMm: 1 }]);
    expect(cloth.cut.reports[0].fallen).toBe(1);
    const seen = seenFrom(cloth);
    for (let y = 3; y < 20; y++) expect(seen(9, y + 0.5)).not.toBe('warp 9');
  });

  test('of one layer, the other keeps its threads', () => {
    const slit: Cutting = {
      kind: 'cut',
      line: [place(11.5, 2), place(11.5, 21)],
      what: 'layer',
      side: 'face',
      frayMm: 2,
    };
    const cloth = cutFixture(double(), [slit]);
    const seen = seenFrom(cloth);
    const ends = new Set<string>();
    for (let y = 4; y < 20; y += 0.25) for (let x = 9; x < 14; x += 0.25) ends.add(seen(x, y));
    // Ends 10 and 12 lie above, 1.5 and 0.5 mm from the slit; 9, 11 and 13 below.
    expect(ends.has('warp 10')).toBe(false);
    expect(ends.has('warp 12')).toBe(false);
    expect(ends.has('warp 11')).toBe(true);
  });
});
