import { describe, expect, test } from 'vitest';
import { addYarn, setYarnCount, setYarnLeft } from '#document/commands/yarnCommands.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { enoughLeft, yarnNeeded } from '#document/yarnNeeded.ts';
import { yarnOfCount } from '#document/yarnOfCount.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { ownYarn } from '#engine/yarn/ownYarn.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import { readSampleJson, readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { finish } from '#tests/helpers/finish.ts';
import { cottonCard, smallSample, smallSampleFile } from './smallSample.ts';

const own = ownYarn({
  id: 'net-twine',
  name: 'net twine',
  shape: 'round',
  fibre: 'linen',
  grams: 20,
  metres: 80,
  wraps: { turns: 30, overMm: 25 },
}).record as YarnCard;

describe('what is left of a yarn', () => {
  test('is noted, kept in the file, and undone', () => {
    const store = createSampleStore(smallSample());
    expect(store.dispatch(setYarnLeft({ yarn: 'kelp', left: { grams: 180 } }))).toBeNull();
    const noted = store.state.getState().sample;
    expect(noted.yarns.kelp.left).toEqual({ grams: 180 });
    const read = readSampleText(writeSampleText(noted));
    expect(read.ok && read.value.yarns.kelp.left).toEqual({ grams: 180 });
    expect(setYarnLeft({ yarn: 'kelp', left: null }).name(noted)).toBe('note what is left of kelp');
    store.undo();
    expect(store.state.getState().sample.yarns.kelp.left).toBeUndefined();
    store.redo();
    expect(store.dispatch(setYarnLeft({ yarn: 'kelp', left: null }))).toBeNull();
    expect(store.state.getState().sample.yarns.kelp).not.toHaveProperty('left');
  });

  test.each([
    [{ grams: -1 }, /yarn "kelp", left, grams.*between 0 and/i],
    [{}, /says neither grams nor metres.*give one/i],
    [{ metres: Number.NaN }, /left, metres/i],
  ])('%j is refused where it is wrong', (left, words) => {
    expect(createSampleStore(smallSample()).dispatch(setYarnLeft({ yarn: 'kelp', left }))?.message).toMatch(words);
    const file = smallSampleFile();
    Object.assign(file.yarns.kelp, { left });
    const read = readSampleJson(file);
    expect(read.ok ? '' : read.problems[0].message).toMatch(words);
  });

  test('of a yarn that is not there is refused', () => {
    const refused = createSampleStore(smallSample()).dispatch(setYarnLeft({ yarn: 'mud', left: { grams: 1 } }));
    expect(refused?.message).toMatch(/no yarn "mud"/);
  });
});

describe('yarn cards of version 1', () => {
  const first = (card: object) => ({ ...card, version: 1 });

  test('are read alone, in a sample, and in its kept versions', () => {
    const card = readYarnCard(first(cottonCard('buoy', '#d7263d')));
    expect(card.ok && card.value.version).toBe(3);
    const file = smallSampleFile();
    const yarns = Object.fromEntries(Object.entries(file.yarns).map(([id, yarn]) => [id, first(yarn)]));
    const versions = [
      {
        name: 'with a buoy',
        differences: [{ change: 'set', at: ['yarns', 'buoy'], to: first(cottonCard('buoy', '#d7263d')) }],
      },
    ];
    const read = readSampleJson({ ...file, yarns, versions });
    if (!read.ok) throw new Error(read.problems[0].message);
    expect(read.value.yarns.kelp.version).toBe(3);
    expect(read.value.versions[0].body.yarns.buoy.version).toBe(3);
  });

  test('a newer card within a kept version is named as such', () => {
    const to = { ...cottonCard('buoy', '#d7263d'), version: 9 };
    const versions = [{ name: 'later', differences: [{ change: 'set', at: ['yarns', 'buoy'], to }] }];
    const read = readSampleJson({ ...smallSampleFile(), versions });
    expect(read.ok ? '' : read.problems[0].message).toMatch(/version 1, difference 1, to.*newer Forecloth/i);
  });
});

describe('yarn cards of version 2', () => {
  test.each([
    [2, ['#2f5f8c', '#e6e0d0']],
    [1, undefined],
  ])('keep as many colours of plies as they have plies: %i', (plies, kept) => {
    const plyColours = ['#2f5f8c', '#e6e0d0', '#a8502f'];
    const card = readYarnCard({ ...cottonCard('buoy', '#d7263d'), version: 2, plies, plyColours });
    if (!card.ok) throw new Error(card.problems[0].message);
    expect(card.value.plyColours).toEqual(kept);
  });
});

describe('a yarn that was measured', () => {
  test('goes onto the shelf, through the file and back with its ranges', () => {
    const store = createSampleStore(smallSample());
    expect(store.dispatch(addYarn(own))).toBeNull();
    const read = readSampleText(writeSampleText(store.state.getState().sample));
    expect(read.ok && read.value.yarns['net-twine']).toEqual(JSON.parse(JSON.stringify(own)));
  });

  test('given another count, its widths keep their doubt in proportion, and the count is as chosen', () => {
    const doubled = yarnOfCount(own, 2 * own.tex);
    expect(doubled.ranges!.tex).toBeUndefined();
    for (const key of ['contactWidthMm', 'freeWidthMm'] as const) {
      const [low, high] = doubled.ranges![key]!;
      // To the figures that are kept.
      expect(low / doubled[key]!).toBeCloseTo(own.ranges![key]![0] / own[key]!, 4);
      expect(high / doubled[key]!).toBeCloseTo(own.ranges![key]![1] / own[key]!, 4);
    }
    const store = createSampleStore(smallSample());
    store.dispatch(addYarn(own));
    expect(store.dispatch(setYarnCount({ yarn: own.id, tex: 300 }))).toBeNull();
  });
});

describe('yarn needed', () => {
  const { problem } = toClothProblem(smallSample());
  const { readings } = finish(forecastCloth(problem, 'settled'));
  const needed = yarnNeeded(problem, readings);

  test('its weight is the cloth’s own: metres times tex over the area', () => {
    const tex: Record<string, number> = { kelp: 147.6, gull: 147.6, tar: 147.6, rope: 295.3 };
    let grams = 0;
    for (const [id, { metres }] of needed) grams += (metres.value * tex[id]) / 1000;
    // Tails lie outside the cloth: one cut pass of rope, 6 mm at either side.
    grams -= (0.012 * tex.rope) / 1000;
    const areaM2 = (readings.widthMm.value * readings.lengthMm.value) / 1e6;
    // Readings weigh between the outermost threads; of 12 picks and 24 ends, half a thread a side is a few per cent.
    expect(grams / areaM2 / readings.weightGPerM2.value).toBeGreaterThan(0.93);
    expect(grams / areaM2 / readings.weightGPerM2.value).toBeLessThan(1.07);
  });

  test('more than the way over the cloth, and both where a yarn is warp and weft', () => {
    const kelp = needed.get('kelp')!;
    expect(kelp.inWarp).toBe(false);
    expect(kelp.metres.value).toBeGreaterThan((6 * readings.widthMm.value) / 1000);
    expect(kelp.metres.low).toBeLessThanOrEqual(kelp.metres.value);
    expect(kelp.metres.high).toBeGreaterThanOrEqual(kelp.metres.value);
    expect(needed.get('gull')!.inWarp).toBe(true);
    expect(needed.get('rope')!.inWarp).toBe(false);
  });

  test('enough, perhaps, or short', () => {
    const range = (low: number, high: number) => ({ value: (low + high) / 2, low, high });
    expect(enoughLeft(range(20, 22), range(8, 10))).toBe('enough');
    expect(enoughLeft(range(9, 11), range(8, 10))).toBe('perhaps');
    expect(enoughLeft(range(5, 7), range(8, 10))).toBe('short');
  });
});
