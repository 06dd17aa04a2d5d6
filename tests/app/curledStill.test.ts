import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { curledStill } from '#app/still/curledStill.ts';
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
    const told = readings.curls![curl!.from === 'picks' ? 'along' : 'across']!;
    expect([curl!.to, side]).toEqual([told.to, told.to]);
    expect(curl!.radiusMm).toBeCloseTo(told.radiusMm.value, 9);
    expect(Math.sign(drape.radiusMm)).toBe(told.to === 'back' ? 1 : -1);
    expect(Math.abs(drape.radiusMm)).toBeCloseTo(told.radiusMm.value, 9);
    expect(Math.abs(drape.jointRad) * drape.joints).toBeCloseTo(curl!.turnRad, 9);
    expect(onLoom).toBe(false);
  });

  test('stays flat where the reading says so, and on the loom', () => {
    const level = still('signal-gamp', 'offLoom');
    expect([level.drape, level.curl, level.onLoom]).toEqual([FLAT, undefined, false]);
    const held = still('boat-paint', 'onLoom');
    expect([held.drape, held.curl, held.onLoom]).toEqual([FLAT, undefined, true]);
  });
});
