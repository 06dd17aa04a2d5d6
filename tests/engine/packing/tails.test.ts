import { expect, test } from 'vitest';
import { RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import { buildExtras } from '#engine/packing/buildExtras.ts';
import { EXTRA_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { extraTangent } from '#engine/packing/extraCurve.ts';
import { groupRowsIntoLines } from '#engine/packing/packLines.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

test('the tail of a strip opens where no end holds it, its section’s area kept; a cord’s does not', () => {
  const { problem, geometry } = clothFixture({
    ends: 8,
    rows: 4,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: [{ widthMm: 3, heightMm: 1.5 }],
    rowY: (row) => 4 * row,
    rowSpan: () => [0, 7],
    tailMm: 8,
  });
  const firstTail = (shape: 'strip' | 'round') => {
    const yarns = problem.yarns.map((yarn) => (yarn.contactWidthMm === 3 ? { ...yarn, shape, bodyWidthMm: 5 } : yarn));
    const cloth = { ...problem, yarns };
    const { data } = buildExtras(cloth, geometry, groupRowsIntoLines(cloth, geometry));
    // Tails of entries come last; where the row leaves, it turns.
    const stride = EXTRA_TEXELS * 4;
    for (let at = data.length - stride; at >= 0; at -= stride)
      if (data[at + 11] === 0) return { half: data[at + 3], flatness: data[at + 7] };
    throw new Error('no tail');
  };
  const [strip, cord] = [firstTail('strip'), firstTail('round')];
  expect(strip.half / cord.half).toBeCloseTo(5 / 3, 5);
  expect(strip.half ** 2 * strip.flatness).toBeCloseTo(cord.half ** 2 * cord.flatness, 5);
});

test.each([
  ['folded behind', RowTails.folded],
  ['tucked into the next shed', RowTails.tucked],
])('a tail that is %s runs somewhere all along, to its very end', (_, tails) => {
  for (const tailMm of [2.5, 3.5, 5, 7.2]) {
    const { problem, geometry } = clothFixture({
      ends: 10,
      rows: 4,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: 0.5, heightMm: 0.5 }],
      tailMm,
    });
    const cloth = {
      ...problem,
      rowEnd: new Uint8Array(4).fill(RowEnd.cut),
      rowTails: new Uint8Array(4).fill(tails),
    };
    const { count, data } = buildExtras(cloth, geometry, groupRowsIntoLines(cloth, geometry));
    expect(count).toBeGreaterThan(6);
    const tangent = [0, 0, 0];
    for (let k = 0; k < count; k++) {
      const at = k * EXTRA_TEXELS * 4;
      const points = [0, 4, 8].flatMap((from) => [...data.subarray(at + from, at + from + 3)]);
      for (const share of [0, 0.5, 1]) {
        extraTangent(tangent, points, share);
        expect(Math.hypot(...tangent)).toBeGreaterThan(1e-3);
      }
    }
  }
});
