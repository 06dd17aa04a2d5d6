import { describe, expect, test } from 'vitest';
import { type LinearRgb, linearFromHex } from '#engine/colour/colour.ts';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { farthestStep, type Turn, type Turns, towards, turnsInSteps } from '#engine/packing/far/turnColour.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { pack } from '#tests/helpers/clothProbe.ts';

const RED = linearFromHex('#b03030');
const GREEN = linearFromHex('#2f8f4a');
const round = { widthMm: 0.7, heightMm: 0.7 };

/** Plain, as close as round threads lie. */
const cloth = pack(
  clothFixture({
    ends: 24,
    rows: 24,
    warp: [round],
    weft: [round],
    warpUp: (row, end) => (row + end) % 2 === 0,
    warpShare: 0.5,
  }),
);
const far = buildFar(cloth);
const shot = (material: number): LinearRgb => (material === 0 ? RED : GREEN);
function turnsOf(colourOf: (material: number) => LinearRgb): Turns {
  const steps = turnsInSteps(cloth, far, colourOf);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
const at = (turn: Turn, degrees: number) => turn.steps.find((s) => s.degrees === degrees)!;

describe('a cloth of one colour each way, turned', () => {
  const [upright, level] = turnsOf(shot).face;

  // R. Lu, J. Koenderink & A. Kappers 2000: shot cloth changes colour because threads mask each other. Turned about the
  // upright, the eye looks across the warp, whose flanks then hide the weft between; about the level, across the weft.
  test('shows more of the threads that it is looked across', () => {
    for (const degrees of [-60, -45, 45, 60]) {
      expect(at(upright, degrees).warp / at(upright, degrees).weft).toBeGreaterThan(
        1.15 * (at(upright, 0).warp / at(upright, 0).weft),
      );
      expect(at(level, degrees).weft / at(level, degrees).warp).toBeGreaterThan(
        1.15 * (at(level, 0).weft / at(level, 0).warp),
      );
    }
    expect(towards(at(upright, 0).colour, at(upright, 60).colour)).toMatch(/red|orange/);
    // Red and green light mixed are yellow; a little more green is yellow still.
    expect(towards(at(level, 0).colour, at(level, 60).colour)).toMatch(/yellow|green/);
  });

  test('says how far it moves and where most', () => {
    expect(at(upright, 0).difference).toBe(0);
    for (const turn of [upright, level]) {
      const most = farthestStep(turn);
      expect(Math.abs(most.degrees)).toBeGreaterThanOrEqual(45);
      expect(most.difference).toBeGreaterThan(3);
      expect(at(turn, 15).difference).toBeLessThan(most.difference);
    }
  });

  test('moves nowhere where both ways are one colour', () => {
    for (const turn of turnsOf(() => RED).back) {
      for (const { difference } of turn.steps) expect(difference).toBeLessThan(1e-3);
    }
  });
});

// sRGB codes chosen apart in one direction each; their L*a*b* hues are those of the colour library.
describe('the word for where a colour moves', () => {
  test.each([
    ['#808080', '#a05050', 'red'],
    ['#808080', '#4f8f55', 'green'],
    ['#808080', '#5070b0', 'blue'],
    ['#808080', '#8f8340', 'yellow'],
    ['#808080', '#b0b0b0', 'lighter'],
    ['#808080', '#404040', 'darker'],
    ['#a04040', '#8a6a68', 'greyer'],
  ])('%s to %s: %s', (from, to, word) => {
    expect(towards(linearFromHex(from), linearFromHex(to))).toBe(word);
  });
});
