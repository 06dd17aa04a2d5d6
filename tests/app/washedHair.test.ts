import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { sampleOnWarp } from '#document/sampleOnWarp.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import { HAIR_TEXEL, MATERIAL_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { readLoomCard, readYarnCard } from '#io/cardFiles.ts';
import { finish } from '#tests/helpers/finish.ts';
import { card, demand } from '#tests/presets/presetFiles.ts';

/** Plain cloth of a cotton warp and this weft, to be finished so. */
function woven(weft: string, treatment: Treatment): Sample {
  const begun = sampleOnWarp(
    {
      loom: card('looms', 'q24', readLoomCard),
      warpYarns: [card('yarns', 'cotton-8-2', readYarnCard)],
      weftYarn: card('yarns', weft, readYarnCard),
      ends: 24,
      endsPerCm: 6,
      threading: '1-24',
      picks: 24,
    },
    'washed',
  );
  return { ...demand(begun), finish: { treatment } };
}

function clothOf(weft: string, treatment: Treatment, state: ClothState) {
  const cloth = sampleCloth(woven(weft, treatment), state);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  return cloth.value;
}

/** What stands off warp and weft in a state. */
function hairOf(
  weft: string,
  treatment: Treatment,
  state: ClothState = 'finished',
): { warp: YarnHair; weft: YarnHair } {
  const { problem, materials } = clothOf(weft, treatment, state);
  return { warp: materials[problem.endYarn[0]].hair!, weft: materials[problem.rowYarn[0]].hair! };
}

/** Fibre that stands off a mm of yarn, mm. */
const standing = ({ perMm, meanLengthMm }: YarnHair) => perMm * meanLengthMm;

// Common practice: woollen cloth blooms in its first wash; cotton does not.
describe('hair as the cloth is washed', () => {
  test.each(['shetland-single', 'merino-nm-28-2', 'woollen-2ply'])(
    'of %s grows, of the cotton warp beside it not',
    (weft) => {
      const unwashed = hairOf(weft, 'none');
      const washed = hairOf(weft, 'handWashed');
      expect(washed.weft.perMm).toBeGreaterThan(unwashed.weft.perMm);
      expect(washed.weft.meanLengthMm).toBeGreaterThan(unwashed.weft.meanLengthMm);
      expect(washed.weft.heightMm).toBeGreaterThan(unwashed.weft.heightMm);
      expect(washed.warp).toEqual(unwashed.warp);
    },
  );

  test.each(['cotton-16-2', 'linen-16-2', 'viscose-10-2', 'acrylic-dk'])(
    'of %s stays, however it is washed',
    (weft) => {
      for (const treatment of ['handWashed', 'machineWashed', 'fulled'] as const) {
        expect(hairOf(weft, treatment), treatment).toEqual(hairOf(weft, 'none'));
      }
    },
  );

  test('comes with the finish alone: on the loom and off it the yarn is as it was spun', () => {
    for (const state of ['onLoom', 'offLoom'] as const) {
      expect(hairOf('shetland-single', 'fulled', state), state).toEqual(hairOf('shetland-single', 'none', state));
    }
  });

  test('the wetter the finish, the more', () => {
    const treatments = ['none', 'pressed', 'steamed', 'soaked', 'handWashed'] as const;
    const lengths = treatments.map((treatment) => standing(hairOf('shetland-single', treatment).weft));
    for (let k = 1; k < lengths.length; k++) expect(lengths[k], treatments[k]).toBeGreaterThan(lengths[k - 1]);
  });

  test('goes into the picture of the finished cloth', () => {
    // What hair laid side by side covers, mm² a mm of yarn (packHair.ts).
    const covers = (treatment: Treatment) => {
      const { problem, wanted, materials } = clothOf('shetland-single', treatment, 'finished');
      const { problem: finished, geometry } = finish<Forecast>(forecastCloth(problem, 'preview', {}, wanted));
      const { materialTable } = packCloth(finished, geometry, materials);
      const coverOf = (yarn: number) => materialTable[(yarn * MATERIAL_TEXELS + HAIR_TEXEL) * 4 + 12];
      return { warp: coverOf(problem.endYarn[0]), weft: coverOf(problem.rowYarn[0]) };
    };
    const unwashed = covers('none');
    const washed = covers('handWashed');
    expect(unwashed.weft).toBeGreaterThan(0);
    expect(washed.weft).toBeGreaterThan(1.5 * unwashed.weft);
    expect(washed.warp).toBe(unwashed.warp);
  });
});
