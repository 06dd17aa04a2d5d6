import { describe, expect, it } from 'vitest';
import { setTails } from '#document/commands/layingCommands.ts';
import { setReed, setSecondBeam, setTensionSpread, setWarpFixed } from '#document/commands/warpCommands.ts';
import {
  forgetSwatchBeat,
  keepSwatchBeat,
  recutPicks,
  setMeasured,
  setPause,
  setPlan,
  setYarnShrinkage,
} from '#document/commands/weavingCommands.ts';
import { setYarnLeft } from '#document/commands/yarnCommands.ts';
import { ownSwatch } from '#document/ownSwatch.ts';
import { lossesOf, pieceQuantities } from '#document/pieceQuantities.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { finish } from '#tests/helpers/finish.ts';
import { smallSample } from './smallSample.ts';

type Store = ReturnType<typeof createSampleStore>;

function done(...commands: Parameters<Store['dispatch']>[0][]): Sample {
  const store = createSampleStore(smallSample());
  for (const command of commands) expect(store.dispatch(command)?.message).toBeUndefined();
  const { sample } = store.state.getState();
  // Whatever was done is kept in the file.
  expect(readSampleText(writeSampleText(sample))).toEqual({ ok: true, value: sample });
  return sample;
}

const refusal = (command: Parameters<Store['dispatch']>[0]) =>
  createSampleStore(smallSample()).dispatch(command)?.message ?? '';

function forecastOf(sample: Sample) {
  const { problem } = toClothProblem(sample);
  const { readings } = finish(forecastCloth(problem, 'settled'));
  return { problem, readings };
}

function quantitiesOf(sample: Sample) {
  const { problem, readings } = forecastOf(sample);
  return { readings, ...pieceQuantities(sample, { problem }, readings) };
}

describe('sleying and pauses', () => {
  it('the reed changes while the warp is not fixed, and only to what fits', () => {
    expect(done(setReed({ endsPerDent: '2 2 0 3' })).warp.reed.endsPerDent).toBe('2 2 0 3');
    expect(refusal(setReed({ endsPerDent: '2 two' }))).toMatch(/cannot be read at character 3/);
    expect(refusal(setReed({ dentsPerCm: 0.25, endsPerDent: 1 }))).toMatch(/mm wide in the reed/);
    const store = createSampleStore(smallSample());
    store.dispatch(setWarpFixed(true));
    expect(store.dispatch(setReed({ endsPerDent: 1 }))?.message).toMatch(/on the loom and cannot change/);
    expect(store.dispatch(setTensionSpread(10))).toBeNull();
  });

  it('a pause is noted with its pick, and taken back', () => {
    expect(done(setPause({ pick: 4, minutes: 600 })).picks[3].pauseBeforeMin).toBe(600);
    expect(done(setPause({ pick: 4, minutes: 600 }), setPause({ pick: 4, minutes: null })).picks).toEqual(
      smallSample().picks,
    );
    expect(refusal(setPause({ pick: 4, minutes: -1 }))).toMatch(/pick 4, pauseBeforeMin/i);
  });
});

describe('what a piece takes', () => {
  it('warp: each end as long as the plan says; weft: each pick its way and its turn', () => {
    const { yarns, warp, ends, readings } = quantitiesOf(smallSample());
    const warpM = yarns.reduce((sum, yarn) => sum + yarn.warpM, 0);
    expect(warpM).toBeCloseTo((ends * warp.totalMm) / 1000, 9);
    const half = { ends: '0 1', slackPercent: 10 };
    const slack = quantitiesOf(done(setSecondBeam(half)));
    const slackM = slack.yarns.reduce((sum, yarn) => sum + yarn.warpM, 0);
    // Every other end is wound a tenth longer.
    expect(slackM / ((ends * slack.warp.totalMm) / 1000)).toBeCloseTo(1.05, 9);
    // The loom's card says nothing of waste: 27 in (common practice).
    expect(warp.wasteMm).toBeCloseTo(27 * 25.4, 0);
    const kelp = yarns.find(({ card }) => card.id === 'kelp')!;
    const across = readings.widthMm.value / (1 - readings.weftTakeUp.value);
    expect(kelp.weftM * 1000).toBeGreaterThan(6 * across);
    expect(kelp.weftM * 1000).toBeLessThan(6 * (across + 5));
    expect(kelp.grams.value).toBeCloseTo((kelp.metres.value * kelp.card.tex) / 1000, 9);
    expect(kelp.metres.low).toBeLessThan(kelp.metres.value);
  });

  it('hems, fringes, heading and pieces each add their own', () => {
    const one = quantitiesOf(smallSample());
    const more = quantitiesOf(done(setPlan({ pieces: 3, hemMm: 20, fringeMm: 50, headingMm: 100 })));
    expect(more.warp.clothMm).toBeCloseTo(3 * one.warp.clothMm, 9);
    expect([more.warp.hemsMm, more.warp.fringesMm, more.warp.headingMm]).toEqual([120, 300, 100]);
    const weft = (found: typeof one) => found.yarns.find(({ card }) => card.id === 'kelp')!.weftM;
    const times = (3 * (one.warp.clothMm + 40) + 100) / one.warp.clothMm;
    expect(weft(more) / weft(one)).toBeCloseTo(times, 6);
    expect(more.time.throwsMin / one.time.throwsMin).toBeCloseTo(times, 6);
  });

  it('what is left of a yarn says how high it weaves', () => {
    const gull = (metres: number) =>
      quantitiesOf(done(setYarnLeft({ yarn: 'gull', left: { metres } }))).yarns.find(({ card }) => card.id === 'gull')!;
    const { warpM, weftM } = gull(1);
    const half = gull(warpM + weftM / 2).reach!;
    const { readings } = quantitiesOf(smallSample());
    expect(half.enough).toBe(false);
    // Gull weaves the upper half alone: half of its weft reaches three quarters, within a pick.
    expect(Math.abs(half.heightMm / readings.lengthMm.value - 0.75)).toBeLessThan(1.5 / 12);
    expect(gull(warpM + 2 * weftM).reach!.enough).toBe(true);
  });

  it('cut picks cost length and time; tucked tails more time', () => {
    const turned = quantitiesOf(smallSample());
    const tails = (kind: 'fringe' | 'tucked') =>
      quantitiesOf(done(setTails({ picks: { from: 1, to: 4 }, tails: { tailMm: 30, kind } })));
    const weft = (found: typeof turned) => found.yarns.reduce((sum, yarn) => sum + yarn.weftM, 0);
    expect(weft(tails('fringe')) - weft(turned)).toBeGreaterThan(0.2);
    expect(tails('fringe').time.cutsMin).toBeGreaterThan(turned.time.cutsMin);
    expect(tails('tucked').time.cutsMin).toBeGreaterThan(tails('fringe').time.cutsMin);
  });

  it('the inlay of the small sample is counted as laid by hand, its pieces as cotton', () => {
    const { time, fibres } = quantitiesOf(smallSample());
    expect(time.handMin).toBeGreaterThan(0);
    expect(fibres).toEqual([{ fibre: 'cotton', share: expect.closeTo(1, 9) }]);
  });

  it('losses come from the plan, else from her swatch, else from the forecast', () => {
    const measured = [
      setMeasured('onLoom', { lengthMm: 100 }),
      setMeasured('offLoom', { lengthMm: 90 }),
      setMeasured('finished', { lengthMm: 81 }),
    ];
    expect(lossesOf(done(...measured))).toEqual({
      offLoom: expect.closeTo(0.1, 9),
      finished: expect.closeTo(0.1, 9),
      from: 'swatch',
    });
    expect(lossesOf(done(...measured, setPlan({ lossFinishedPercent: 20 })))).toMatchObject({
      finished: 0.2,
      from: 'plan',
    });
    const { readings, losses } = quantitiesOf(smallSample());
    expect(losses.from).toBe(readings.sizes ? 'forecast' : 'usual');
  });

  it('a plan that cannot be is refused', () => {
    expect(refusal(setPlan({ pieces: 0 }))).toMatch(/plan, pieces/i);
    expect(done(setPlan({ hemMm: 20 }), setPlan({ hemMm: null })).plan).toBeUndefined();
  });
});

describe('her own swatch', () => {
  it('counted as forecast, it confirms the beat; kept, the loom’s next forecast is narrower', () => {
    const { problem, readings } = forecastOf(smallSample());
    const counted = setMeasured('onLoom', { picksPerCm: readings.picksPerCm.value, picksOverMm: 100 });
    const { beat } = ownSwatch(done(counted), problem, readings);
    // Scatter of the beat, 4 %, is all that the two differ by.
    expect(Math.abs(Math.log(beat!.fitted.beatFactor))).toBeLessThan(0.05);
    const kept = done(counted, keepSwatchBeat('quay edge', beat!.fitted));
    expect(ownSwatch(kept, toClothProblem(kept).problem, readings).beat!.kept).toBe(true);
    const after = forecastOf(kept).readings.picksPerCm;
    expect((after.high - after.low) / after.value).toBeLessThan(
      (readings.picksPerCm.high - readings.picksPerCm.low) / readings.picksPerCm.value,
    );
    expect(done(counted, keepSwatchBeat('quay edge', beat!.fitted), forgetSwatchBeat('quay edge')).loom).toEqual(
      smallSample().loom,
    );
    expect(refusal(forgetSwatchBeat('quay edge'))).toMatch(/no swatch "quay edge"/);
  });

  it('firmer than forecast, the loom forecasts more picks from then on, as it told beforehand', () => {
    const { problem, readings } = forecastOf(smallSample());
    const counted = 1.1 * readings.picksPerCm.value;
    const measured = setMeasured('onLoom', { picksPerCm: counted, picksOverMm: 100 });
    const { beat } = ownSwatch(done(measured), problem, readings);
    const kept = done(measured, keepSwatchBeat('quay edge', beat!.fitted));
    const { readings: after } = forecastOf(kept);
    expect(after.picksPerCm.value).toBeGreaterThan(readings.picksPerCm.value);
    expect(after.picksPerCm.value).toBeLessThan(counted);
    expect(after.picksPerCm.value / beat!.next.picksPerCm).toBeCloseTo(1, 1);
  });

  it('a count that cannot be says where the yarns jam', () => {
    const { problem, readings } = forecastOf(smallSample());
    const { jam, beat } = ownSwatch(done(setMeasured('onLoom', { picksPerCm: 90 })), problem, readings);
    expect(jam).toMatch(/jam at/);
    expect(beat).toBeUndefined();
  });

  it('tells what went at each stage; yarns that lie side by side are not told apart', () => {
    const { problem, readings } = forecastOf(smallSample());
    const sample = done(
      setMeasured('onLoom', { widthMm: 200 }),
      setMeasured('offLoom', { widthMm: 190, lengthMm: 100 }),
      setMeasured('finished', { widthMm: 171, lengthMm: 92 }),
    );
    const { lost, shrinkage } = ownSwatch(sample, problem, readings);
    expect(lost).toEqual([
      { of: 'length', stage: 'finished', share: expect.closeTo(0.08, 9) },
      { of: 'width', stage: 'offLoom', share: expect.closeTo(0.05, 9) },
      { of: 'width', stage: 'finished', share: expect.closeTo(0.1, 9) },
    ]);
    // The warp is of tar and gull, the weft of three.
    expect(shrinkage).toEqual([]);
    const plain = { ...sample, warp: { ...sample.warp, order: '24 tar' } };
    const [warp] = ownSwatch(plain, toClothProblem(plain).problem, readings).shrinkage;
    expect([warp.system, warp.card.id]).toEqual(['warp', 'tar']);
    expect(warp.fitted.high).toBeCloseTo(0.08, 9);
  });

  it('shrinkage is noted on the yarn with where it comes from', () => {
    const { tar } = done(setYarnShrinkage('tar', [4.04, 8])).yarns;
    expect(tar.lengthShrinkPercent).toEqual([4, 8]);
    expect(tar.provenance?.lengthShrinkPercent).toMatch(/measured by you/);
    expect(refusal(setYarnShrinkage('mud', [1, 2]))).toMatch(/no yarn "mud"/);
  });
});

describe('the rest woven in other picks', () => {
  it('leaves out pairs and keeps the sheds and shuttles in turn', () => {
    const { picks } = done(recutPicks({ from: 9, wanted: 2, unit: 2 }));
    expect(picks).toHaveLength(10);
    for (let k = 9; k < 10; k++) expect(picks[k].lift).not.toEqual(picks[k - 1].lift);
    // Pick 7 was the gull shuttle's last throw before, from the left: it lies at the right.
    expect(picks.slice(8).map(({ passes }) => passes[0].enters)).toEqual(['right', 'left']);
    expect(done(recutPicks({ from: 9, wanted: 8, unit: 2 })).picks).toHaveLength(16);
    expect(refusal(recutPicks({ from: 9, wanted: 0, unit: 2 }))).toMatch(/whole number of picks from 1/);
    expect(refusal(recutPicks({ from: 99, wanted: 2, unit: 2 }))).toMatch(/cannot be chosen/);
  });
});
