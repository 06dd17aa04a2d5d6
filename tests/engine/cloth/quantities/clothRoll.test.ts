import { describe, expect, it } from 'vitest';
import { rollDiameterMm } from '#engine/cloth/quantities/clothRoll.ts';

describe('a roll of cloth', () => {
  it('grows by two thicknesses with each turn, a turn being as long as its middle is round', () => {
    const [rollerMm, thicknessMm] = [60, 5];
    let lengthMm = 0;
    for (let turns = 1; turns <= 12; turns++) {
      lengthMm += Math.PI * (rollerMm + (2 * turns - 1) * thicknessMm);
      expect(rollDiameterMm(lengthMm, thicknessMm, rollerMm)).toBeCloseTo(rollerMm + 2 * turns * thicknessMm, 9);
    }
  });
});
