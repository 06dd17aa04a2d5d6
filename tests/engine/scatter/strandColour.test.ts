import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { colourDifference, labFromLinear, linearFromHex } from '#engine/colour/colour.ts';
import { coneColourOfReflectance } from '#engine/scatter/coneColour.ts';
import { blockSetting } from '#engine/scatter/scatterTable.ts';
import { meanSurfaceAlbedo, shownConeColour, strandColour } from '#engine/scatter/strandColour.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { tableOf } from './lightBench.ts';

/** A difference that no eye sees side by side. */
const DELTA_E00 = 0.5;
/** Of hue, CIELAB: a dark colour's neighbours in any colour atlas lie further apart (estimate). */
const DEGREES = 18;

const folder = new URL('../../../presets/yarns/', import.meta.url);
const records = readdirSync(folder)
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as YarnRecord);
const recordOf = (id: string): YarnRecord => records.find((record) => record.id === id)!;

/** Yarns of each kind; a table for each, since together they may be more than one texture holds. */
const yarns = [
  'cotton-8-2',
  'cotton-10-2',
  'rayon-filament-300',
  'woollen-2ply',
  'metal-film-1-69',
  'metal-film-twisted',
  'wire-copper-0.2',
];

describe('cone colour in, cone colour out', () => {
  it.each(yarns)('%s', (id) => {
    const record = recordOf(id);
    const optics = yarnOptics(record);
    const table = tableOf([blockSetting(optics)]);
    for (const hex of [record.coneColour, '#8a3b2e', '#2f5d8a', '#c9a227']) {
      const cone = linearFromHex(hex);
      const strand = strandColour(cone, optics, table, 0);
      for (const channel of strand) {
        expect(channel).toBeGreaterThanOrEqual(0);
        expect(channel).toBeLessThanOrEqual(1);
      }
      const shown = shownConeColour(strand, optics, table, 0);
      // No dye makes a channel darker than the yarn's own gloss, seen on the cone; film laid flat shows lacquer's 4 %.
      const gloss =
        optics.surface === 'fibre' ? meanSurfaceAlbedo(table, 0) : ((optics.eta - 1) / (optics.eta + 1)) ** 2;
      const least = id === 'metal-film-1-69' ? gloss : coneColourOfReflectance(gloss);
      const reached = optics.surface !== 'fibre' || Math.min(...cone) >= least;
      const possible = cone.map((value) => Math.max(value, least));
      if (reached) {
        expect(colourDifference([...shown], possible as [number, number, number]), hex).toBeLessThanOrEqual(DELTA_E00);
      } else {
        // The gloss lies over a colour that was told past it: as a veil, no brighter than itself.
        shown.forEach((value, channel) => {
          expect(value, hex).toBeGreaterThanOrEqual(cone[channel] - 1e-9);
          expect(value - cone[channel], hex).toBeLessThanOrEqual(gloss);
        });
      }
    }
  });

  it.each(['cotton-8-2', 'rayon-filament-300', 'woollen-2ply'])(
    'a dark colour keeps its hue past the gloss: %s',
    (id) => {
      const optics = yarnOptics(recordOf(id));
      const table = tableOf([blockSetting(optics)]);
      const hue = (rgb: readonly number[]) => {
        const [, a, b] = labFromLinear([rgb[0], rgb[1], rgb[2]]);
        return (Math.atan2(b, a) * 180) / Math.PI;
      };
      // Deep water, kelp, keel, tar.
      for (const hex of ['#1d3348', '#1f3a2a', '#4a1a16', '#221f1c']) {
        const cone = linearFromHex(hex);
        const body = strandColour(cone, optics, table, 0).map(coneColourOfReflectance);
        expect(Math.abs(((hue(body) - hue(cone) + 540) % 360) - 180), hex).toBeLessThan(DEGREES);
      }
      expect(strandColour([0, 0, 0], optics, table, 0)).toEqual([0, 0, 0]);
    },
  );

  it('black yarn is as dark as black cloth gets: 1 to 6 % of the light, more where filament lies packed', () => {
    const albedo = (id: string): number => {
      const optics = yarnOptics(recordOf(id));
      return meanSurfaceAlbedo(tableOf([blockSetting(optics)]), 0);
    };
    const wool = albedo('woollen-2ply');
    const cotton = albedo('cotton-8-2');
    const filament = albedo('rayon-filament-300');
    expect(wool).toBeGreaterThan(0.01);
    expect(cotton).toBeGreaterThan(wool);
    expect(filament).toBeGreaterThan(cotton);
    expect(filament).toBeLessThan(0.08);
  });
});
