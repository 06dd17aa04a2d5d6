import { describe, expect, it } from 'vitest';
import { greyed, greyName } from '#app/model/greyed.ts';
import type { SampleCloth } from '#app/model/sampleCloth.ts';
import { linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { Turn } from '#engine/packing/far/turnColour.ts';

function cloth(colours: readonly string[], endYarn: readonly number[], rowYarn: readonly number[]): SampleCloth {
  return {
    problem: { endYarn: Uint16Array.from(endYarn), rowYarn: Uint16Array.from(rowYarn) },
    coloursOf: colours.map((hex) => [hex]),
    widthMmOf: colours.map(() => 1),
  } as unknown as SampleCloth;
}

/** Square on, the cones mixed in linear light by what shows of each. */
function seen(colours: readonly string[], shares: readonly number[]): readonly Turn[] {
  const colour = meanLinear(colours.map(linearFromHex), shares);
  const step = (degrees: number) => ({ degrees, colour, warp: 0.5, weft: 0.5, difference: 0 });
  return [{ about: 'upright', steps: [step(-60), step(0), step(60)] }];
}

describe('a cloth that weaves to near grey', () => {
  it('is told where complements mix: an even mixture of red and cyan of one luminance is a grey (additive mixture)', () => {
    // In linear light (0.5, 0.2, 0.2) and (0.2, 0.5, 0.5).
    const colours = ['#bc7c7c', '#7cbcbc'];
    const told = greyed(cloth(colours, [0], [1]), seen(colours, [1, 1]));
    expect(told).toBeDefined();
    expect(told!.chroma).toBeLessThan(8);
    expect(told!.yarnChroma).toBeGreaterThan(15);
    // The same yarns, but one of them hidden: its colour is there.
    expect(greyed(cloth(colours, [0], [1]), seen(colours, [1, 0]))).toBeUndefined();
  });

  it('is told of navy among tarred ends, which reads as charcoal or black', () => {
    const colours = ['#2a2523', '#1e2a44'];
    const told = greyed(cloth(colours, [0], [1]), seen(colours, [1, 1]));
    expect(told?.yarn).toBe(1);
    expect(['black', 'charcoal']).toContain(greyName(told!.lightness));
  });

  it('is silent over greys, over a cloth of one colour, and over a coloured accent', () => {
    const greys = ['#777777', '#222222'];
    expect(greyed(cloth(greys, [0], [1]), seen(greys, [1, 1]))).toBeUndefined();
    const navy = ['#1e2a64'];
    expect(greyed(cloth(navy, [0], [0]), seen(navy, [1]))).toBeUndefined();
    const accent = ['#777777', '#c03030'];
    const rows = [0, 0, 0, 0, 0, 0, 0, 0, 0, 1];
    expect(greyed(cloth(accent, [0], rows), seen(accent, [40, 1]))).toBeUndefined();
  });
});
