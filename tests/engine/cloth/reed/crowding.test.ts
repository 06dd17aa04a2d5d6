import { describe, expect, it } from 'vitest';
import { toClothProblem } from '#document/toClothProblem.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { crowdedEnds, LEAST_SQUEEZE } from '#engine/cloth/reed/crowding.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import { likesOverlapAt } from '#tests/helpers/drawnOverlap.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';
import { filesOf, sample } from '#tests/presets/presetFiles.ts';

const { unevenness: _, ...cotton } = yarnBody(yarnFactsOf(cottonCard as unknown as YarnRecord));
const doublePlain = drawdownFromRows([
  [1, 0, 0, 0],
  [1, 1, 1, 0],
  [0, 0, 1, 0],
  [1, 0, 1, 1],
]);
const woven = (share: number, weave = plainWeave()) =>
  clothProblem({
    weave,
    rows: 40,
    ends: 40,
    endsPerCm: 10 / (share * cotton.contactWidthMm),
    warp: [cotton],
    weft: [cotton],
    endTensionN: 0.5,
  });

describe('ends set closer than they are wide', () => {
  it('are crowded where they must pass each other, not where they lie in layers', () => {
    expect(crowdedEnds(woven(1.05), 0, 40)).toBeUndefined();
    expect(crowdedEnds(woven(0.8), 0, 40)?.every((share) => Math.abs(share - 0.8) < 1e-9)).toBe(true);
    // Double plain: ends of one layer are two apart, those between lie over or under them throughout.
    expect(crowdedEnds(woven(0.6, doublePlain), 0, 40)).toBeUndefined();
    expect(crowdedEnds(woven(0.4, doublePlain), 0, 40)?.[5]).toBeCloseTo(0.8, 9);
  });

  it('are pressed narrow at their area, do not run into one another, and are told of', () => {
    const problem = woven(0.8);
    const { geometry, readings, problem: there } = finish(forecastCloth(problem, 'preview'));
    expect(readings.crowding).toMatchObject({ how: 'pressed', firstEnd: 0, lastEnd: 39 });
    expect(readings.crowding?.share).toBeCloseTo(0.8, 2);
    expect(readings.crowding?.sideBySidePerCm).toBeCloseTo(10 / cotton.contactWidthMm, 6);
    const { warp, periodEnds } = geometry;
    // An ellipse as much higher as it is narrower keeps its area; its height then gives by the crossing's force, as on ends with room.
    const roomy = finish(forecastCloth(woven(1.3), 'preview')).geometry.warp;
    expect(warp.widthFactor[periodEnds + 1]).toBeLessThanOrEqual(0.8 * 1.0001);
    expect(warp.heightFactor[periodEnds + 1]).toBeGreaterThan(1.1 * roomy.heightFactor[periodEnds + 1]);
    let worst = 0;
    for (let row = 12; row < 16; row++)
      for (let end = 12; end < 16; end++) worst = Math.max(worst, likesOverlapAt('ends', there, geometry, row, end));
    // What unevenness adds to widths at the most: these bodies are even, so the rounding of the law's table alone.
    expect(worst).toBeLessThan(0.08);
  });

  it('ride over one another beyond what they give', () => {
    const { crowding } = finish(forecastCloth(woven(LEAST_SQUEEZE - 0.1), 'preview')).readings;
    expect(crowding?.how).toBe('ride');
  });
});

describe('samples of the harbour', () => {
  it.each(filesOf('samples').map(({ id }) => id))(
    '%s: no end has less room than its contact width, but in rep',
    (id) => {
      const { problem } = toClothProblem(sample(id));
      const crowded = crowdedEnds(problem, 0, problem.rows);
      // The mooring ring is a rep, whose ends stand close enough to hide the weft (common practice): pressed, not riding.
      if (id === 'mooring-ring') expect(Math.min(...(crowded ?? [0]))).toBeGreaterThan(0.75);
      else expect(crowded).toBeUndefined();
    },
  );
});
