import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { curledStill, turnThatFits } from '#app/still/curledStill.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { FLAT } from '#engine/packing/walk/drape.ts';
import { finish } from '#tests/helpers/finish.ts';
import { sample } from '#tests/presets/presetFiles.ts';
import type { ForecastResult } from '#workers/protocol.ts';

function still(name: Parameters<typeof sample>[0], state: ClothState) {
  const cloth = sampleCloth(sample(name), state);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const { readings } = finish(forecastCloth(cloth.value.problem, 'preview', {}, cloth.value.wanted));
  const packed = { bounds: { min: [0, 0, -0.6], max: [100, 120, 0.6] } } as unknown as ForecastResult['packed'];
  return { readings, ...curledStill({ packed, readings }) };
}

describe('a cloth drawn as it curls', () => {
  test('takes side and radius from the reading, and shows the side that it rolls to', () => {
    const { readings, curl, side, drape, onLoom } = still('boat-paint', 'offLoom');
    // Of two tendencies the one that gives back more: B/R².
    const energies = (['along', 'across'] as const).map((way) => {
      const told = readings.curls![way];
      return told ? readings.stiffnessNmm[way].value / told.radiusMm.value ** 2 : 0;
    });
    expect(energies[0]).not.toBe(energies[1]);
    expect(curl!.from).toBe(energies[0] > energies[1] ? 'picks' : 'selvedges');
    const told = readings.curls![energies[0] > energies[1] ? 'along' : 'across']!;
    expect([curl!.to, side]).toEqual([told.to, told.to]);
    expect(curl!.radiusMm).toBeCloseTo(told.radiusMm.value, 9);
    expect(Math.sign(drape.radiusMm)).toBe(told.to === 'back' ? 1 : -1);
    expect(Math.abs(drape.radiusMm)).toBeCloseTo(told.radiusMm.value, 9);
    expect(Math.abs(drape.jointRad) * drape.joints).toBeCloseTo(curl!.turnRad, 9);
    expect(onLoom).toBe(false);
  });

  test('rolls that would meet in the middle are let turn less', () => {
    // A quarter turn takes a quarter of a circle; a whole half turn and a half comes back by the radius.
    expect(turnThatFits(Math.PI / 2)).toBeCloseTo(Math.PI / 2, 6);
    expect(turnThatFits(1.5 * Math.PI + 1)).toBeCloseTo(1.5 * Math.PI, 6);
    const tight = turnThatFits(50 / 12);
    expect(tight - Math.sin(tight)).toBeCloseTo(50 / 12, 6);
  });

  test('stays flat where the reading says so, and on the loom', () => {
    const level = still('signal-gamp', 'offLoom');
    expect([level.drape, level.curl, level.onLoom]).toEqual([FLAT, undefined, false]);
    const held = still('boat-paint', 'onLoom');
    expect([held.drape, held.curl, held.onLoom]).toEqual([FLAT, undefined, true]);
  });
});
