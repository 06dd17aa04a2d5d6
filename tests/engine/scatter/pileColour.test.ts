import { describe, expect, it } from 'vitest';
import { pileFibreColour } from '#engine/scatter/pileColour.ts';

const grey = (value: number) => pileFibreColour([value, value, value])[0];

describe('the colour of pile’s fibres', () => {
  it('grows with the colour shown, and is paler than it, as velvet is deeper than its yarn', () => {
    const shown = Array.from({ length: 200 }, (_, k) => 0.01 + (0.8 * k) / 199);
    const own = shown.map(grey);
    for (let k = 1; k < own.length; k++) expect(own[k]).toBeGreaterThan(own[k - 1]);
    own.forEach((value, k) => {
      expect(value).toBeGreaterThan(shown[k]);
    });
  });

  it('keeps within what fibres can be', () => {
    expect(grey(0)).toBeGreaterThan(0);
    expect(grey(1)).toBe(1);
  });

  it('takes each channel by itself', () => {
    expect(pileFibreColour([0.2, 0.05, 0.5])).toEqual([grey(0.2), grey(0.05), grey(0.5)]);
  });
});
