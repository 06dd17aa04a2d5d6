import { describe, expect, it } from 'vitest';
import { bloomedHair } from '#engine/yarn/bloomedHair.ts';
import { yarnHair } from '#engine/yarn/hair.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { readAllYarnPresets } from '#io/presets.ts';

const presets = await readAllYarnPresets();
const hairOf = (id: string) => yarnHair(presets.find((each: YarnRecord) => each.id === id)!)!;
const STEPS = [0, 0.25, 0.5, 0.75, 1];

describe('hair after brushing and washing', () => {
  it('is what it was where nothing was done, and none stays none', () => {
    for (const id of ['shetland-single', 'mohair-loop', 'cotton-chenille-1.7', 'cloth-strip-6']) {
      expect(bloomedHair(hairOf(id), { brushed: 0, washed: 0 }), id).toEqual(hairOf(id));
    }
    expect(bloomedHair(undefined, { brushed: 1 })).toBeUndefined();
  });

  // Common practice: woollen cloth blooms in its first wash, and a teasel raises more.
  it.each(['brushed', 'washed'] as const)('the more %s, the more hair, and the longer', (how) => {
    const grown = STEPS.map((share) => bloomedHair(hairOf('shetland-single'), { [how]: share })!);
    for (let k = 1; k < grown.length; k++) {
      expect(grown[k].perMm).toBeGreaterThan(grown[k - 1].perMm);
      expect(grown[k].meanLengthMm).toBeGreaterThan(grown[k - 1].meanLengthMm);
      expect(grown[k].heightMm).toBeGreaterThan(grown[k - 1].heightMm);
    }
  });

  it('stands more upright where brushed, and pile and frayed edges get no hair more', () => {
    for (const id of ['shetland-single', 'cotton-chenille-1.7', 'cloth-strip-6']) {
      expect(bloomedHair(hairOf(id), { brushed: 1 })!.leanMeanRad, id).toBeLessThan(hairOf(id).leanMeanRad);
    }
    for (const id of ['cotton-chenille-1.7', 'cloth-strip-6']) {
      expect(bloomedHair(hairOf(id), { brushed: 1, washed: 1 })!.perMm, id).toBe(hairOf(id).perMm);
    }
  });

  // Weavers brush looped mohair after finishing "to break loops into halo" (the yarn's own card).
  it('a brush breaks loops into fibres of the same mass', () => {
    const loops = hairOf('mohair-loop');
    const halo = bloomedHair(loops, { brushed: 1 })!;
    expect(loops.form).toBe('loop');
    expect(halo.form).toBe('hair');
    const volume = ({ perMm, meanLengthMm, diameterMm }: typeof loops) => perMm * meanLengthMm * diameterMm ** 2;
    // Half of a strand's section is fibre.
    expect(volume(halo) / volume(loops)).toBeCloseTo(0.5, 6);
  });

  it('takes shares beyond 0..1 as the nearer of these', () => {
    const hair = hairOf('shetland-single');
    expect(bloomedHair(hair, { brushed: 7, washed: -2 })).toEqual(bloomedHair(hair, { brushed: 1, washed: 0 }));
  });
});
