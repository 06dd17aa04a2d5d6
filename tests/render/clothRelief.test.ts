import { expect, test } from 'vitest';
import { layRipple } from '#engine/cloth/hold/ripple.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { hasRelief } from '#render/clothRelief.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

const ground = { ends: 64, rows: 80, warp: [{ widthMm: 0.5, heightMm: 0.5 }] };
const warpUp = (row: number, end: number) => ((row + end) & 1) === 0;

test('a rippled cloth has relief; one with thick cords here and there is only thick', () => {
  const plain = clothFixture({ ...ground, warpUp, weft: [{ widthMm: 0.5, heightMm: 0.5 }] });
  expect(hasRelief(packCloth(plain.problem, plain.geometry, plain.materials))).toBe(false);
  const over = Float64Array.from({ length: 64 }, (_, end) => (end >= 20 && end < 44 ? 0.05 : 0));
  const rippled = layRipple(plain.problem, plain.geometry, over);
  if (!rippled) throw new Error('nothing ripples');
  expect(hasRelief(packCloth(plain.problem, rippled.geometry, plain.materials))).toBe(true);
  const corded = clothFixture({
    ...ground,
    warpUp,
    weft: [
      { widthMm: 0.5, heightMm: 0.5 },
      { widthMm: 4, heightMm: 4 },
    ],
    rowYarn: (row) => (row % 20 === 10 ? 1 : 0),
    rowY: (row) => row + 4 * Math.floor((row + 10) / 20),
  });
  expect(hasRelief(packCloth(corded.problem, corded.geometry, corded.materials))).toBe(false);
});
