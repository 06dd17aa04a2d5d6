import { describe, expect, it } from 'vitest';
import { sampleCover } from '#engine/cloth/forecast/cover.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { caseById, expectWithin } from './cases.ts';

/** About 1/sqrt(points) for evenly spread ones. */
const SAMPLED = 0.004;

describe('cover of a cloth whose threads lie over one another at random', () => {
  it('CO-22: shares of warp, weft, both and neither (Demichel)', () => {
    const { inputs, expected } = caseById<
      { warp_cover: number; weft_cover: number },
      Record<'both' | 'warp_only' | 'weft_only' | 'open' | 'total_cover', number>
    >('appearance', 'CO-22');
    // Straight threads, pitch 1: their widths are their covers. The weft lies over the warp throughout.
    const { problem, geometry } = clothFixture({
      ends: 60,
      rows: 60,
      warp: [{ widthMm: inputs.warp_cover, heightMm: 0.4 }],
      weft: [{ widthMm: inputs.weft_cover, heightMm: 0.4 }],
      warpUp: () => false,
    });
    const steps = sampleCover(problem, geometry, 100_000);
    let step = steps.next();
    while (!step.done) step = steps.next();
    const { face, back } = step.value;
    const within = { abs: SAMPLED };
    expectWithin(face.warp, expected.warp_only, within, 'warp alone');
    expectWithin(back.weft, expected.weft_only, within, 'weft alone');
    expectWithin(face.weft - back.weft, expected.both, within, 'both');
    expectWithin(face.open, expected.open, within, 'open');
    expectWithin(face.warp + face.weft, expected.total_cover, within, 'covered');
    expect(back.open).toBe(face.open);
  });
});
