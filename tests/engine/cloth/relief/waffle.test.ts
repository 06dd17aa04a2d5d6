import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { type Drawdown, drawdownFromRows } from '#engine/draft/drawdown.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

const cotton = yarnBody(yarnFactsOf(cottonCard as unknown as YarnRecord));
const away = (k: number) => Math.min(k, 8 - k);
/** Waffle on a point draw of five shafts both ways (handbooks, from memory). */
const waffle = drawdownFromRows(
  Array.from({ length: 8 }, (_, row) =>
    Array.from({ length: 8 }, (_, end) => (away(row) === away(end) || away(row) >= away(end) + 2 ? 1 : 0)),
  ),
);

/** From the lowest place of the threads' centre lines to the highest, mm. */
function depthMm(weave: Drawdown, state: ClothState): number {
  const problem = clothProblem({
    weave,
    rows: 48,
    ends: 48,
    endsPerCm: 20 / 2.54,
    warp: [cotton],
    weft: [cotton],
    endTensionN: 0.74,
  });
  const { geometry } = finish(forecastCloth(problem, 'settled', {}, { state, treatment: 'machineWashed' }));
  const heights = [...geometry.warp.heightMm, ...geometry.weft.heightMm];
  return Math.max(...heights) - Math.min(...heights);
}

describe('waffle', () => {
  it('cells deepen off the loom and again in the wash, far more than plain weave of the same yarn (common practice)', () => {
    const [loom, off, washed] = (['onLoom', 'offLoom', 'finished'] as const).map((state) => depthMm(waffle, state));
    const plain = depthMm(plainWeave(), 'finished') / depthMm(plainWeave(), 'onLoom');
    expect(off).toBeGreaterThan(loom);
    expect(washed).toBeGreaterThan(1.3 * loom);
    expect(washed / loom).toBeGreaterThan(1.2 * plain);
  });
});
