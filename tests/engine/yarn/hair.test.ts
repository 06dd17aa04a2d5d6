import { describe, expect, it } from 'vitest';
import { hairOfStrands, yarnHair } from '#engine/yarn/hair.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { readAllYarnPresets } from '#io/presets.ts';

const presets = await readAllYarnPresets();
const preset = (id: string): YarnRecord => presets.find((each) => each.id === id)!;

describe('hair of the shelf’s yarns', () => {
  it('film, wire, filament and monofilament have none; spun, brushed and piled yarns do', () => {
    for (const id of [
      'metal-film-1-64',
      'wire-steel-0.1',
      'rayon-filament-300',
      'mono-nylon-0.20',
      'holo-film-strip-3x50',
    ]) {
      expect(yarnHair(preset(id)), id).toBeUndefined();
    }
    for (const id of [
      'cotton-8-2',
      'merino-nm-28-2',
      'mohair-brushed',
      'cotton-chenille-1.7',
      'linen-20-1',
      'viscose-10-2',
    ]) {
      expect(yarnHair(preset(id)), id).toBeDefined();
    }
  });

  it('every yarn that has hair has numbers that can be drawn', () => {
    let some = 0;
    for (const record of presets) {
      const hair = yarnHair(record);
      if (!hair) continue;
      some++;
      expect(hair.perMm, record.id).toBeGreaterThan(0.2);
      expect(hair.perMm, record.id).toBeLessThan(1000);
      expect(hair.meanLengthMm, record.id).toBeLessThanOrEqual(hair.longestMm);
      expect(hair.heightMm, record.id).toBeGreaterThan(0);
      expect(hair.diameterMm, record.id).toBeGreaterThan(0.008);
      expect(hair.coreShare, record.id).toBeLessThanOrEqual(1);
    }
    expect(some).toBeGreaterThan(40);
  });

  it('a ring-spun cotton single of 20 tex has a hairiness index of 4 to 8 (from memory of yarn testing)', () => {
    const hair = yarnHair({ ...preset('cotton-8-2'), tex: 20, plies: 1 })!;
    const index = hair.perMm * hair.meanLengthMm;
    expect(index).toBeGreaterThanOrEqual(4);
    expect(index).toBeLessThanOrEqual(8);
  });

  it('goes the way of the trade: mercerised < carded cotton < woollen < brushed mohair, by length of hair a mm', () => {
    const index = ['cotton-20-2', 'cotton-8-2', 'shetland-single', 'mohair-brushed'].map((id) => {
      const hair = yarnHair(preset(id))!;
      return hair.perMm * hair.meanLengthMm;
    });
    expect([...index].sort((a, b) => a - b)).toEqual(index);
  });

  it('a chenille’s locks hold its pile’s mass', () => {
    const record = preset('cotton-chenille-1.7');
    const hair = yarnHair(record)!;
    // Tapering to 0.3 leaves 0.46 of a cylinder; half of a lock is fibre at its root.
    const volume = hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * 0.5;
    const tex = volume * record.fibreDensityGPerCm3 * 1000;
    expect(tex / record.tex).toBeCloseTo(0.6, 2);
  });

  it('several yarns wound together have the hairiest one’s', () => {
    const both = hairOfStrands([preset('cotton-20-2'), preset('mohair-brushed')]);
    expect(both).toEqual(yarnHair(preset('mohair-brushed')));
    expect(hairOfStrands([preset('metal-film-1-64')])).toBeUndefined();
  });
});
