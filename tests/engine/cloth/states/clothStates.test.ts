import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import elasticCard from '#presets/yarns/elastane-covered-156.json';
import { finish } from '#tests/helpers/finish.ts';
import { lengthsOf } from './lengthsOf.ts';
import { clothOf, cotton, elastic, film, rigid, statesOf, wool } from './stateCloths.ts';

const lengthOf = (state: { readonly rowYMm: Float64Array }) => state.rowYMm[state.rowYMm.length - 1];

describe('the cloth off the loom', () => {
  const weaves: Record<string, Drawdown> = {
    plain: plainWeave(),
    '2/2 twill': twill([2, 2]),
    '5-end satin': satin(5, 2, 'warp'),
  };

  for (const [name, weave] of Object.entries(weaves)) {
    it(`${name}: yarn that neither stretches nor shrinks is as long off the loom as on it, to 0.1 %`, () => {
      const problem = clothOf(weave, rigid, rigid);
      const states = statesOf(problem);
      const loom = lengthsOf(problem, states.onLoom);
      const off = lengthsOf(problem, states.offLoom);
      expect(Math.abs(off.warpMm / loom.warpMm - 1)).toBeLessThan(1e-3);
      expect(Math.abs(off.weftMm / loom.weftMm - 1)).toBeLessThan(1e-3);
    });
  }

  it('gets shorter as the warp bends again, and its weft has less crimp to take (crimp interchange: Peirce 1937)', () => {
    const problem = clothOf(plainWeave(), rigid, rigid);
    const states = statesOf(problem);
    expect(lengthOf(states.offLoom)).toBeLessThan(lengthOf(states.onLoom));
    expect(lengthsOf(problem, states.offLoom).weftCrimp).toBeLessThan(lengthsOf(problem, states.onLoom).weftCrimp);
    expect(lengthsOf(problem, states.offLoom).warpCrimp).toBeGreaterThan(lengthsOf(problem, states.onLoom).warpCrimp);
  });

  it('a weft a thousand times stiffer lies straight, and the cloth does not draw in: the warp carries all crimp', () => {
    const wire: YarnBody = { ...rigid, bendingNmm2: 16 };
    const problem = clothOf(plainWeave(), { ...rigid }, wire);
    const { onLoom, offLoom } = statesOf(problem);
    expect(onLoom.widthShare).toBeGreaterThan(0.995);
    expect(lengthsOf(problem, offLoom).weftCrimp).toBeLessThan(0.003);
    expect(lengthsOf(problem, offLoom).warpCrimp).toBeGreaterThan(0.1);
  });

  it('draws in most in plain weave and least in satin of the same sett and picks (common practice)', () => {
    const at = (weave: Drawdown) => statesOf(clothOf(weave, cotton, cotton, { fixedPicksPerCm: 7 })).onLoom.widthShare;
    const [plain, diagonal, smooth] = [plainWeave(), twill([2, 2]), satin(8, 3, 'warp')].map(at);
    expect(plain).toBeLessThan(diagonal);
    expect(diagonal).toBeLessThan(smooth);
  });

  it('the further an elastic weft is laid stretched, the further it draws the cloth in; laid slack not at all', () => {
    const widths = [0, 20, 50, 100].map((laidStretchPercent) => {
      const body = yarnBody({ ...yarnFactsOf(elasticCard as unknown as YarnRecord), laidStretchPercent });
      const { onLoom, offLoom } = statesOf(clothOf(plainWeave(), cotton, body, { fixedPicksPerCm: 8 }));
      return offLoom.widthShare / onLoom.widthShare;
    });
    expect(widths[0]).toBeGreaterThan(0.97);
    for (let k = 1; k < widths.length; k++) expect(widths[k]).toBeLessThan(widths[k - 1]);
    expect(widths[3]).toBeLessThan(0.8);
  });

  it('an elastic weft laid at one and a half of its length draws the cloth in to between 0.4 and 0.9 of its width', () => {
    // Yarn facts, elastic-pucker: 0.4 to 0.6 in open setts, 0.7 to 0.9 in close ones.
    const { offLoom } = statesOf(clothOf(plainWeave(), cotton, elastic));
    expect(offLoom.widthShare).toBeGreaterThan(0.4);
    expect(offLoom.widthShare).toBeLessThan(0.9);
  });
});

describe('the cloth finished', () => {
  it('shrinks more the harder it is washed, and wool more than cotton (common practice)', () => {
    const size = (body: YarnBody, treatment: Treatment) => {
      const { finished } = statesOf(clothOf(plainWeave(), body, body), treatment);
      return finished.widthShare * lengthOf(finished);
    };
    const order = (['none', 'steamed', 'handWashed', 'machineWashed', 'tumbled'] as const).map((t) => size(cotton, t));
    for (let k = 1; k < order.length; k++) expect(order[k]).toBeLessThan(order[k - 1]);
    expect(size(wool, 'fulled')).toBeLessThan(0.85 * size(wool, 'handWashed'));
    expect(size(wool, 'fulled')).toBeLessThan(0.85 * size(cotton, 'machineWashed'));
  });

  it('without a finish stays about as it came off the loom', () => {
    const { offLoom, finished } = statesOf(clothOf(twill([2, 2]), cotton, cotton), 'none');
    expect(Math.abs(finished.widthShare / offLoom.widthShare - 1)).toBeLessThan(2e-3);
  });

  it('film among cotton keeps its length, stands proud of the face and is as long as it was laid', () => {
    const problem = clothOf(satin(5, 2, 'weft'), cotton, [cotton, film], { rows: 60, ends: 50 });
    const crestOf = (state: ClothState) => {
      const { geometry } = finish(forecastCloth(problem, 'settled', {}, { state, treatment: 'machineWashed' }));
      let crest = 0;
      const { periodEnds, weft } = geometry;
      for (let row = 0; row < geometry.periodRows; row++) {
        if (problem.rowYarn[row] !== 2) continue;
        for (let end = 0; end < periodEnds; end++) crest = Math.max(crest, weft.heightMm[row * periodEnds + end]);
      }
      return crest;
    };
    expect(statesOf(problem, 'machineWashed').finished.weftOver[1]).toBeGreaterThan(0.01);
    expect(crestOf('finished')).toBeGreaterThan(1.2 * crestOf('onLoom'));
  });

  it('is heavier for its area and thicker than on the loom', () => {
    const problem = clothOf(plainWeave(), cotton, cotton);
    const read = (state: ClothState) =>
      finish(forecastCloth(problem, 'settled', {}, { state, treatment: 'handWashed' })).readings;
    expect(read('finished').weightGPerM2.value).toBeGreaterThan(read('onLoom').weightGPerM2.value * 1.05);
    expect(read('finished').thicknessMm.value).toBeGreaterThan(read('onLoom').thicknessMm.value);
  });

  it('of a single row has figures that are numbers in every state', () => {
    const problem = clothOf(plainWeave(), cotton, cotton, { rows: 1 });
    const states = statesOf(problem);
    for (const { widthShare } of [states.onLoom, states.offLoom, states.finished]) {
      expect(widthShare).toBeGreaterThan(0.5);
      expect(widthShare).toBeLessThanOrEqual(1.001);
    }
  });

  it('tells all sizes with ranges that hold them, whatever state is shown', () => {
    const problem = clothOf(twill([2, 2]), cotton, cotton);
    const sizesIn = (state: ClothState) => {
      const { readings } = finish(forecastCloth(problem, 'settled', {}, { state, treatment: 'handWashed' }));
      if (!readings.sizes) throw new Error('a settled forecast tells sizes');
      const [width, length] = {
        onLoom: [readings.sizes.fellWidthMm, readings.sizes.onLoomLengthMm],
        offLoom: [readings.sizes.offLoomWidthMm, readings.sizes.offLoomLengthMm],
        finished: [readings.sizes.finishedWidthMm, readings.sizes.finishedLengthMm],
      }[state];
      expect(readings.widthMm.value).toBeCloseTo(width.value, 1);
      // One doubt, wherever it is read.
      for (const [listed, tabled] of [
        [readings.widthMm, width],
        [readings.lengthMm, length],
      ]) {
        expect(listed.low / listed.value).toBeCloseTo(tabled.low / tabled.value, 9);
        expect(listed.high / listed.value).toBeCloseTo(tabled.high / tabled.value, 9);
      }
      return readings.sizes;
    };
    const sizes = sizesIn('onLoom');
    expect(sizesIn('finished')).toEqual(sizes);
    sizesIn('offLoom');
    const { reedWidthMm, ...read } = sizes;
    for (const { value, low, high } of Object.values(read)) {
      expect(low).toBeLessThanOrEqual(value);
      expect(high).toBeGreaterThanOrEqual(value);
      expect(value).toBeLessThanOrEqual(reedWidthMm * 2);
    }
  });
});

describe('one elastic pick among five of cotton', () => {
  const plain = plainWeave();
  it('gathers the cloth by most of what six of six do (common practice: gathered stripes are woven so)', () => {
    const loom = (weft: YarnBody[]) => statesOf(clothOf(plain, cotton, weft)).offLoom.widthShare;
    const none = loom([cotton]);
    const all = loom([elastic]);
    const one = loom([cotton, cotton, cotton, cotton, cotton, elastic]);
    expect(none - one).toBeGreaterThan(0.5 * (none - all));
  });
});
