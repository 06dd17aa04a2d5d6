import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { transpose } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin } from '#engine/weave/basicWeaves.ts';
import { doubleCloth } from '#engine/weave/compoundWeaves.ts';
import { hangsTogether, layersOf } from '#engine/weave/layers.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const seed = 1980;

/** Every thread reached from `start` by going to threads that lie under (or, backwards, over) the one in hand. */
function reached(drawdown: Drawdown, start: number, forwards: boolean): boolean[] {
  const { ends, rows } = drawdown;
  const seen = Array<boolean>(ends + rows).fill(false);
  const waiting = [start];
  seen[start] = true;
  for (let here = waiting.pop(); here !== undefined; here = waiting.pop()) {
    for (let other = here < ends ? ends : 0; other < (here < ends ? ends + rows : ends); other++) {
      const end = Math.min(here, other);
      const warpUp = isWarpUp(drawdown, Math.max(here, other) - ends, end);
      const hereIsOver = warpUp === here < ends;
      if (hereIsOver !== forwards || seen[other]) continue;
      seen[other] = true;
      waiting.push(other);
    }
  }
  return seen;
}

/** Strong connection of the graph whose arrows run from the upper to the lower thread of each crossing. */
function stronglyConnected(drawdown: Drawdown): boolean {
  return reached(drawdown, 0, true).every(Boolean) && reached(drawdown, 0, false).every(Boolean);
}

describe('hangsTogether', () => {
  it(`agrees with walking the graph of over and under (random small weaves, seed ${seed})`, () => {
    let apart = 0;
    fc.assert(
      fc.property(arbitraryDrawdown(6, 6), (d) => {
        const whole = stronglyConnected(d);
        if (!whole) apart++;
        expect(hangsTogether(d)).toBe(whole);
      }),
      { seed, numRuns: 1500 },
    );
    // Both answers must have been put to the test.
    expect(apart).toBeGreaterThan(100);
    expect(apart).toBeLessThan(1400);
  });

  it('is not changed by looking along the other system', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(5, 5), (d) => {
        const turned = transpose(d);
        for (let word = 0; word < turned.bits.length; word++) turned.bits[word] = ~turned.bits[word];
        const masked = createDrawdown(turned.rows, turned.ends);
        for (let row = 0; row < turned.rows; row++) {
          for (let end = 0; end < turned.ends; end++) setWarpUp(masked, row, end, isWarpUp(turned, row, end));
        }
        expect(hangsTogether(masked)).toBe(hangsTogether(d));
      }),
      { seed, numRuns: 300 },
    );
  });
});

describe('layersOf', () => {
  it('finds the layers of double and triple cloth', () => {
    const pair = doubleCloth(plainWeave(), satin(5, 2, 'weft'), ['face', 'back', 'back'], ['face', 'back']);
    const found = layersOf(pair);
    expect(found.count).toBe(2);
    expect([...found.endLayer].slice(0, 6)).toEqual([0, 1, 1, 0, 1, 1]);
    expect([...found.pickLayer].slice(0, 4)).toEqual([0, 1, 0, 1]);

    const inner = doubleCloth(plainWeave(), plainWeave(), ['face', 'back'], ['face', 'back']);
    const triple = doubleCloth(plainWeave(), inner, ['face', 'back', 'back'], ['face', 'back', 'back']);
    const three = layersOf(triple);
    expect(three.count).toBe(3);
    expect([...three.endLayer].slice(0, 6)).toEqual([0, 1, 2, 0, 1, 2]);
  });

  it(`puts upper layers wholly over lower ones (seed ${seed})`, () => {
    fc.assert(
      fc.property(arbitraryDrawdown(5, 5), (d) => {
        const { endLayer, pickLayer } = layersOf(d);
        for (let row = 0; row < d.rows; row++) {
          for (let end = 0; end < d.ends; end++) {
            if (endLayer[end] < pickLayer[row]) expect(isWarpUp(d, row, end)).toBe(true);
            if (endLayer[end] > pickLayer[row]) expect(isWarpUp(d, row, end)).toBe(false);
          }
        }
      }),
      { seed, numRuns: 500 },
    );
  });

  it('takes a thread that never interlaces as a layer of its own', () => {
    const d = createDrawdown(2, 3);
    setWarpUp(d, 0, 0, true);
    setWarpUp(d, 1, 1, true);
    expect([...layersOf(d).endLayer]).toEqual([0, 0, 1]);
  });
});
