import { describe, expect, it } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { coloursOfYarn, coneOfColours, withColours } from '#engine/yarn/yarnColours.ts';
import { readYarnPreset } from '#io/presets.ts';

const read = async (id: string) => {
  const card = await readYarnPreset(id);
  if (!card.ok) throw new Error(card.problems[0].message);
  return card.value;
};
const cotton = await read('cotton-8-4');

describe('colours of a yarn', () => {
  // Light adds (Grassmann 1853): half white and half black is linear 0.5, sRGB code 188 (IEC 61966-2-1).
  it('mix on its cone by what each covers', () => {
    expect(coneOfColours({ of: 'plies', plyColours: ['#ffffff', '#000000'] }, 2)).toBe('#bcbcbc');
    const stops = [
      { atMm: 30, colour: '#ffffff' },
      { atMm: 80, colour: '#000000' },
    ];
    expect(coneOfColours({ of: 'length', colourRepeat: { lengthMm: 100, startMm: 0, stops } }, 1)).toBe('#bcbcbc');
    const blend = [
      { colour: '#ffffff', share: 0.5 },
      { colour: '#000000', share: 0.5 },
    ];
    expect(coneOfColours({ of: 'fibres', blend }, 1)).toBe('#bcbcbc');
    // Of three plies in two colours the first has two: a half of one is sRGB 188, two thirds 213.
    expect(coneOfColours({ of: 'plies', plyColours: ['#ffffff', '#000000'] }, 3)).toBe('#d5d5d5');
  });

  it('lie ply by ply in turn round the yarn', () => {
    const [sea, sail] = ['#2f5f8c', '#e6e0d0'];
    const card = withColours(cotton, { of: 'plies', plyColours: [sea, sail] });
    const { colours } = yarnMaterial([card]).strands[0];
    expect(colours!.of).toBe('plies');
    expect(colours!.stops.map(({ from }) => from)).toEqual([0, 0.25, 0.5, 0.75]);
    expect(colours!.stops.map(({ coneColour }) => coneColour)).toEqual([sea, sail, sea, sail].map(linearFromHex));
  });

  it('take the place of those that it had, and say whose choice they are', () => {
    const plied = withColours(cotton, { of: 'plies', plyColours: ['#2f5f8c', '#e6e0d0'] });
    expect(plied.provenance).toMatchObject({ plyColours: 'chosen by you', coneColour: expect.stringMatching(/mean/) });
    const one = withColours(plied, { of: 'one', coneColour: '#a8502f' });
    expect(coloursOfYarn(one)).toEqual({ of: 'one', coneColour: '#a8502f' });
    expect(one.provenance).not.toHaveProperty('plyColours');
  });

  it.each(['cotton-marl-8-2', 'cotton-space-dyed-8-2', 'wool-heather-2ply', 'variegated-acrylic-dk', 'print-strip-10'])(
    'of %s make up the colour of its cone',
    async (id) => {
      const card = await read(id);
      expect(coloursOfYarn(card).of).not.toBe('one');
      expect(card.coneColour).toBe(coneOfColours(coloursOfYarn(card), card.plies));
    },
  );

  // Runs of 2–10 cm: common practice of space dyeing.
  it('change along a space-dyed yarn in short runs that end sharply', async () => {
    const { lengthMm, stops, bleedMm } = (await read('cotton-space-dyed-8-2')).colourRepeat!;
    for (const [k, { atMm }] of stops.entries()) {
      const run = (stops[k + 1]?.atMm ?? lengthMm) - atMm;
      expect(run).toBeGreaterThanOrEqual(20);
      expect(run).toBeLessThanOrEqual(100);
      expect(bleedMm!).toBeLessThan(run / 4);
    }
  });
});
