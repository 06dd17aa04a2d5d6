import { describe, expect, it } from 'vitest';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { clothOf, cotton, statesOf } from './stateCloths.ts';

describe('the arc in which a weft is laid', () => {
  const weave = plainWeave();
  const withArc = (share?: number) => ({
    ...clothOf(weave, cotton, cotton),
    ...(share === undefined ? {} : { weftSlackShare: share }),
  });

  it('the higher it is, the less the cloth draws in, and never wider than the reed (common practice)', () => {
    const widths = [undefined, 0.01, 0.02, 0.04, 0.3].map((share) => statesOf(withArc(share)).onLoom.widthShare);
    for (let k = 1; k < widths.length; k++) expect(widths[k]).toBeGreaterThanOrEqual(widths[k - 1] - 5e-4);
    expect(widths[3]).toBeGreaterThan(widths[0] + 0.02);
    expect(widths[4]).toBeLessThanOrEqual(1);
    expect(widths[4]).toBeGreaterThan(0.995);
  });

  it('keeps its length: what crimp does not take stands over, on the loom and off it', () => {
    for (const share of [0.04, 0.3]) {
      const { onLoom, laidTakeUp } = statesOf(withArc(share));
      // Yarn over the width in the reed: width / (1 − take-up) is what was laid, to 0.2 %.
      expect(Math.abs(onLoom.widthShare / (1 - laidTakeUp.weft) / (1 + share) - 1)).toBeLessThan(2e-3);
    }
    expect(statesOf(withArc(0.3)).onLoom.weftOver[0]).toBeGreaterThan(0.03);
    expect(statesOf(withArc(0.02)).onLoom.weftOver[0]).toBeLessThan(5e-3);
  });

  it('a weft with length to spare is let go before it stands out', () => {
    const taut = statesOf(withArc(0.001)).onLoom.rowTensionN[0];
    const spare = statesOf(withArc(0.3)).onLoom.rowTensionN[0];
    expect(spare).toBeLessThan(0.5 * taut);
  });
});
