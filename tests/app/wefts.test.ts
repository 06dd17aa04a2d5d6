import { describe, expect, it } from 'vitest';
import { coloursFrom } from '#app/structures/wefts.ts';
import { smallSample } from '#tests/document/smallSample.ts';

describe('colours of picks as they are woven', () => {
  it('begin where it is said and go on over the end: a treadling shorter than the order of the wefts keeps them all', () => {
    // By the sample: six picks of kelp, six of gull.
    const [kelp, gull] = ['#4d5b31', '#e6e4dd'];
    expect(coloursFrom(smallSample(), 5, 10)).toEqual([kelp, kelp, gull, gull, gull, gull, gull, gull, kelp, kelp]);
  });
});
