import { expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

const cotton = yarnBody(yarnFactsOf(cottonCard as unknown as YarnRecord));

it('a cloth is drawn as wide and as long in each state as the readings and the table of sizes say', () => {
  const pauses = new Float64Array(40).fill(1);
  pauses[20] = 0.9;
  const plain = clothProblem({
    weave: plainWeave(),
    rows: 40,
    ends: 32,
    endsPerCm: 8,
    warp: [cotton],
    weft: [cotton],
    endTensionN: 0.6,
  });
  const problem = { ...plain, beat: { ...plain.beat, tensionLeft: pauses } };
  const marks = [];
  for (const state of ['onLoom', 'offLoom', 'finished'] as const) {
    const { geometry, readings } = finish(forecastCloth(problem, 'settled', {}, { state, treatment: 'handWashed' }));
    const { sizes } = readings;
    if (!sizes) throw new Error('no sizes');
    const { endXMm, rowYMm } = geometry;
    const wide = (endXMm[31] - endXMm[0]) * (32 / 31);
    const long = (rowYMm[39] - rowYMm[0]) * (40 / 39);
    // The picture ends at the outermost threads' middles; half a space either side is the cloth's too.
    expect(wide / readings.widthMm.value).toBeCloseTo(1, 2);
    expect(long / readings.lengthMm.value).toBeCloseTo(1, 2);
    const [width, length] = {
      onLoom: [sizes.fellWidthMm, sizes.onLoomLengthMm],
      offLoom: [sizes.offLoomWidthMm, sizes.offLoomLengthMm],
      finished: [sizes.finishedWidthMm, sizes.finishedLengthMm],
    }[state];
    // Widths of the table are where the weft holds the cloth out at the fell, on the loom; the picture is of the cloth behind it.
    if (state !== 'onLoom') expect(readings.widthMm.value / width.value).toBeCloseTo(1, 2);
    expect(readings.lengthMm.value / length.value).toBeCloseTo(1, 2);
    marks.push((rowYMm[20] - rowYMm[19]) / (rowYMm[10] - rowYMm[9]));
  }
  // A starting mark is closer on the loom and stays so, by the same share, off it and finished.
  for (const mark of marks) expect(mark).toBeLessThan(0.995);
  expect(Math.abs(marks[2] / marks[0] - 1)).toBeLessThan(0.02);
});
