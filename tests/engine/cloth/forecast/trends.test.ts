import { describe, expect, it } from 'vitest';
import { weaveStructure } from '#document/notation/weaveDraft.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readWeaveCard } from '#io/cardFiles.ts';
import bedfordCard from '#presets/weaves/bedford-cord.json';
import huckCard from '#presets/weaves/huck.json';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';
import { demand } from '#tests/presets/presetFiles.ts';

const cotton = yarnBody(yarnFactsOf(cottonCard as unknown as YarnRecord));

function cloth(weave: Drawdown, firmness: number, state: ClothState = 'onLoom') {
  const [rows, ends] = [Math.max(40, 2 * weave.rows + 9), Math.max(41, 2 * weave.ends + 1)];
  const problem = clothProblem({ weave, rows, ends, endsPerCm: 8, warp: [cotton], weft: [cotton], firmness });
  return finish(forecastCloth(problem, 'preview', {}, { state, treatment: 'machineWashed' }));
}

const read = (...of: Parameters<typeof cloth>): Readings => cloth(...of).readings;

const ascends = (values: readonly number[]) =>
  values.forEach((value, k) => void (k > 0 && expect(value).toBeGreaterThan(values[k - 1])));

// Common practice, all of it.
describe('trends of the trade', () => {
  const beats = [0.3, 0.6, 0.9];

  it.each([
    ['plain', plainWeave()],
    ['2/2 twill', twill([2, 2])],
    ['5-end satin', satin(5, 2, 'warp')],
  ] as const)('%s beaten firmer has more picks, is heavier and stiffer across', (_, weave) => {
    const cloths = beats.map((firmness) => read(weave, firmness));
    ascends(cloths.map(({ picksPerCm }) => picksPerCm.value));
    ascends(cloths.map(({ weightGPerM2 }) => weightGPerM2.value));
    ascends(cloths.map(({ stiffnessNmm }) => stiffnessNmm.across.value));
  });

  it('twill beaten firmer is thicker; plain is from where its warp bends as far as its weft, and least there (Peirce 1937)', () => {
    ascends(beats.map((firmness) => read(twill([2, 2]), firmness).thicknessMm.value));
    expect(read(plainWeave(), 0.9).thicknessMm.value).toBeGreaterThan(read(plainWeave(), 0.6).thicknessMm.value);
  });

  it.each(beats)('satin takes more picks than twill and twill than plain at a firmness of %s', (firmness) => {
    const weaves = [plainWeave(), twill([2, 2]), satin(5, 2, 'warp')];
    ascends(weaves.map((weave) => read(weave, firmness).picksPerCm.value));
  });

  it('the ends of huck curve in off the loom and more once washed, as a share of their spacing; those of plain never', () => {
    const huck = demand(weaveStructure(demand(readWeaveCard(huckCard)))).drawdown;
    const curves = (weave: Drawdown, state: ClothState) => {
      const { geometry, problem } = cloth(weave, 0.5, state);
      const pitchMm = (problem.endXMm[problem.ends - 1] - problem.endXMm[0]) / (problem.ends - 1);
      return Math.hypot(...geometry.warp.offsetMm) / Math.sqrt(geometry.warp.offsetMm.length) / pitchMm;
    };
    const [off, washed] = [curves(huck, 'offLoom'), curves(huck, 'finished')];
    ascends([0.02, off, washed]);
    expect(washed / off).toBeGreaterThan(1.5);
    expect(curves(plainWeave(), 'finished')).toBeLessThan(0.01);
  });

  it('the cords of Bedford cord round up when finished: thicker for its width, and more than plain cloth', () => {
    const cord = demand(weaveStructure(demand(readWeaveCard(bedfordCard)))).drawdown;
    const grows = (weave: Drawdown) => {
      const [loom, washed] = [read(weave, 0.6), read(weave, 0.6, 'finished')];
      const narrower = loom.widthMm.value / washed.widthMm.value;
      return { thicker: washed.thicknessMm.value / loom.thicknessMm.value, narrower };
    };
    const [ofCord, ofPlain] = [grows(cord), grows(plainWeave())];
    expect(ofCord.thicker).toBeGreaterThan(1.3);
    expect(ofCord.thicker).toBeGreaterThan(ofPlain.thicker);
    expect(ofCord.narrower).toBeGreaterThan(ofPlain.narrower);
  });
});
