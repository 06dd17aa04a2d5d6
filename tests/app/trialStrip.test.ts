import { describe, expect, it } from 'vitest';
import { type BandFigures, bandFigures, bandsOf, picksInBand, picksOfBand } from '#app/structures/trialStrip.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { finish } from '#tests/helpers/finish.ts';
import { sample } from '#tests/presets/presetFiles.ts';

const body = sample('fog-bank');
const weave = (name: string, rule: Parameters<typeof structureOf>[0]) => ({
  name,
  standing: standingOn(warpedLoomOf(body), structureOf(rule)),
});

describe('trial strip', () => {
  const bands = bandsOf(
    ['slate', 'mist'],
    [
      weave('plain', { rule: 'plain' }),
      weave('sateen', { rule: 'satin' }),
      weave('satin', { rule: 'satin', face: 'warp' }),
    ],
  );
  const figures = new Map<string, BandFigures>(
    bands.map((band) => [`${band.weft} ${band.weave}`, finish(bandFigures(body, band))]),
  );
  const of = (key: string) => figures.get(key)!;

  it('has every weft in every structure, and bands of 2 cm', () => {
    expect([...figures.keys()]).toEqual([
      'slate plain',
      'slate sateen',
      'slate satin',
      'mist plain',
      'mist sateen',
      'mist satin',
    ]);
    for (const [key, { picksPerCm }] of figures) {
      const mm = (10 * picksOfBand(picksPerCm)) / picksPerCm;
      // A band ends with a whole pick: within half of one.
      expect(Math.abs(mm - 20), key).toBeLessThanOrEqual(5 / picksPerCm + 1e-9);
    }
    expect(picksInBand(bands[1], 17)).toHaveLength(17);
    expect(picksInBand(bands[1], 17)[8]).toEqual(bands[1].repeat[0]);
  });

  // Weft is seen on seven crossings of eight in sateen and one of eight in satin: the dark weft darkens the first.
  it('mixes from afar what each face shows: sateen nearer its weft, satin nearer the warp', () => {
    const green = (key: string) => of(key).mixed[1];
    expect(green('slate sateen')).toBeLessThan(green('slate satin'));
    expect(green('mist sateen')).toBeLessThan(green('mist satin'));
    expect(of('slate plain').lightnessGap).toBeGreaterThan(of('mist plain').lightnessGap);
    expect(of('slate sateen').lustre).toBeGreaterThan(of('slate plain').lustre);
  });
});
