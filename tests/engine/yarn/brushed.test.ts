import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { brushedHair, unbrushable } from '#engine/yarn/brushed.ts';
import { type YarnHair, yarnHair } from '#engine/yarn/hair.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';

const preset = (id: string): YarnRecord => JSON.parse(readFileSync(`presets/yarns/${id}.json`, 'utf8'));
const raised = (id: string, strength: 'light' | 'raised' | 'hard', reach = 1) =>
  brushedHair(preset(id), yarnHair(preset(id)), strength, { face: reach, back: 0 });

/** Length of hair to the mm of yarn, over that of the yarn as laid. */
function gain(id: string, strength: 'light' | 'raised' | 'hard', reach = 1): number {
  const before = yarnHair(preset(id));
  const after = raised(id, strength, reach);
  if (!before || !after) throw new Error(`${id} has no hair`);
  return (after.perMm * after.meanLengthMm) / (before.perMm * before.meanLengthMm);
}

describe('brushing', () => {
  test('raises more the harder it is, and nothing where it does not reach', () => {
    for (const id of ['cotton-8-2', 'woollen-2ply', 'linen-16-2', 'acrylic-dk']) {
      expect(gain(id, 'light')).toBeGreaterThan(1);
      expect(gain(id, 'raised')).toBeGreaterThan(gain(id, 'light'));
      expect(gain(id, 'hard')).toBeGreaterThan(gain(id, 'raised'));
      expect(gain(id, 'raised', 0)).toBe(1);
      expect(gain(id, 'raised', 0.25)).toBeLessThan(gain(id, 'raised', 0.75));
    }
  });

  test('raises no more fibre than there is: the nap of a raised cloth is under a tenth of its weight (from memory)', () => {
    for (const id of ['cotton-8-2', 'woollen-2ply', 'merino-nm-28-2']) {
      const yarn = preset(id);
      const hair = raised(id, 'hard');
      const before = yarnHair(yarn);
      if (!hair || !before) throw new Error(`${id} has no hair`);
      const drawnMm = hair.perMm * hair.meanLengthMm - before.perMm * before.meanLengthMm;
      // Length of hair to the mm of yarn, times its section and density, over the yarn's tex (g/km = 1e-6 g/mm).
      const sectionMm2 = (Math.PI / 4) * hair.diameterMm ** 2;
      const share = (drawnMm * sectionMm2 * yarn.fibreDensityGPerCm3 * 1e-3) / (yarn.tex * 1e-6);
      expect(share).toBeGreaterThan(0.005);
      expect(share).toBeLessThan(0.1);
    }
  });

  test('raises hair on the side that it meets alone: the other keeps what it had', () => {
    const before = yarnHair(preset('woollen-2ply'))!;
    const length = (hair: YarnHair) => hair.perMm * hair.meanLengthMm;
    const half = (hair: YarnHair, sign: 1 | -1) => (0.5 + 0.5 * sign * (hair.onFace ?? 0)) * length(hair);
    const brush = (hair: YarnHair, face: number, back: number) =>
      brushedHair(preset('woollen-2ply'), hair, 'raised', { face, back })!;
    const onFace = brush(before, 0.7, 0);
    expect(half(onFace, -1)).toBeCloseTo(length(before) / 2, 9);
    expect(half(onFace, 1)).toBeGreaterThan(2 * half(onFace, -1));
    const onBack = brush(before, 0, 0.3);
    expect(half(onBack, 1)).toBeCloseTo(length(before) / 2, 9);
    // First one side and then the other: as both at once.
    const inTurn = brush(onFace, 0, 0.3);
    const atOnce = brush(before, 0.7, 0.3);
    for (const sign of [1, -1] as const) expect(half(inTurn, sign)).toBeCloseTo(half(atOnce, sign), 9);
  });

  test('soft woollen gives more of its fibre than hard-twisted yarn (common practice)', () => {
    const twisted = { ...preset('woollen-2ply'), twistTurnsPerM: [900, 900] as const };
    const soft = brushedHair(preset('woollen-2ply'), undefined, 'raised', { face: 1, back: 0 });
    const hard = brushedHair(twisted, undefined, 'raised', { face: 1, back: 0 });
    expect(hard?.perMm ?? 0).toBeLessThan(0.6 * (soft?.perMm ?? 0));
  });

  // Common practice: a nap is raised on staple; filament snags, film and wire have nothing to raise, pile is pulled out.
  test.each([
    ['rayon-filament-300', 'filament'],
    ['metal-film-1-64', 'strip'],
    ['wire-copper-0.2', 'filament'],
    ['mono-nylon-0.20', 'filament'],
    ['cotton-8-2', undefined],
  ])('%s: %s', (id, why) => {
    expect(unbrushable(preset(id))).toBe(why);
    if (why) expect(raised(id, 'hard')).toEqual(yarnHair(preset(id)));
  });

  test('stands pile up without adding to it, and breaks looped mohair into hairs (its own card)', () => {
    expect(unbrushable(preset('viscose-chenille-1450'))).toBe('pile');
    expect(raised('viscose-chenille-1450', 'hard')?.perMm).toBe(yarnHair(preset('viscose-chenille-1450'))?.perMm);
    expect(yarnHair(preset('mohair-loop'))?.form).toBe('loop');
    expect(raised('mohair-loop', 'raised')?.form).toBe('hair');
  });
});
