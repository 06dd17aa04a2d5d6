import { describe, expect, it } from 'vitest';
import { colourDifference, type LinearRgb, linearFromHex } from '#engine/colour/colour.ts';
import { colourFromPhotograph, type Patch, type Photograph } from '#engine/colour/photograph.ts';

/** Numbers 0..1 (mulberry32). */
function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const CARD: Patch = { x: 4, y: 4, width: 24, height: 24 };
const YARN: Patch = { x: 36, y: 4, width: 24, height: 24 };

interface Shot {
  readonly yarn: LinearRgb;
  readonly card: number;
  /** Linear light of a perfect white in the picture, each channel: exposure times cast. */
  readonly light: LinearRgb;
  /** Light at a place over that in the middle. */
  readonly falloff?: (x: number, y: number) => number;
  /** Standard deviation of the sensor's noise, 8-bit codes. */
  readonly noiseCodes?: number;
  readonly seed?: number;
}

/** sRGB codes, not rounded (IEC 61966-2-1): noise comes before rounding in a camera. */
function codeOf(light: number): number {
  return 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);
}

/** A photograph as a camera keeps it: light times reflectance, noise, 8-bit sRGB. Yarn is striped by its own shadows. */
function photograph({ yarn, card, light, falloff = () => 1, noiseCodes = 1, seed = 1 }: Shot): Photograph {
  const width = 64;
  const height = 32;
  const pixels = new Uint8ClampedArray(width * height * 4);
  const random = randomFrom(seed);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const onYarn = x >= 32;
      // Turns of four pixels, mean 1.
      const shadow = onYarn ? [1.3, 1.2, 0.9, 0.6][y % 4] : 1;
      const share = falloff(x, y) * shadow;
      const [r, g, b] = [0, 1, 2].map((k) => light[k] * share * (onYarn ? yarn[k] : card));
      const codes = [r, g, b].map(codeOf);
      for (let k = 0; k < 3; k++) {
        const noise = noiseCodes * Math.sqrt(12) * (random() - 0.5);
        pixels[(y * width + x) * 4 + k] = codes[k] + noise;
      }
      pixels[(y * width + x) * 4 + 3] = 255;
    }
  }
  return { width, height, pixels };
}

const kinds = (shot: Photograph, card: number) =>
  colourFromPhotograph(shot, CARD, YARN, card).doubts.map(({ kind }) => kind);

/** Half of what trained eyes call just visible; noise and rounding to 8 bits take some of it. */
const WITHIN = 0.5;

describe('a yarn beside a grey card', () => {
  const yarns = { kelp: '#44583b', buoy: '#c4472c', sail: '#e3dccb', 'deep water': '#1d3350' };
  const lights: Record<string, LinearRgb> = {
    'even daylight': [0.8, 0.8, 0.8],
    'a warm lamp': [0.75, 0.55, 0.3],
    'blue shade, dim': [0.3, 0.36, 0.5],
  };
  const shots = Object.entries(yarns).flatMap(([name, hex]) =>
    Object.entries(lights).map(([light]) => [name, light, hex]),
  );

  it.each(shots)('%s in %s (%s) comes back, from an 18 %% card (seed 1)', (_, light, hex) => {
    const yarn = linearFromHex(hex);
    const shot = photograph({ yarn, card: 0.18, light: lights[light] });
    const { reflectance, doubts } = colourFromPhotograph(shot, CARD, YARN, 0.18);
    expect(colourDifference(reflectance, yarn)).toBeLessThan(WITHIN);
    expect(doubts).toEqual([]);
  });

  it('comes back from a white card of 90 % too, and with sensor noise of 4 codes (seed 17)', () => {
    const yarn = linearFromHex('#44583b');
    const shot = photograph({ yarn, card: 0.9, light: [0.9, 0.8, 0.6], noiseCodes: 4, seed: 17 });
    const { reflectance, doubts } = colourFromPhotograph(shot, CARD, YARN, 0.9);
    expect(colourDifference(reflectance, yarn)).toBeLessThan(WITHIN);
    expect(doubts).toEqual([]);
  });

  it('the wrong card gives another colour: the reflectance asked for counts', () => {
    const yarn = linearFromHex('#44583b');
    const shot = photograph({ yarn, card: 0.18, light: [0.8, 0.8, 0.8] });
    const { reflectance } = colourFromPhotograph(shot, CARD, YARN, 0.09);
    expect(colourDifference(reflectance, yarn)).toBeGreaterThan(5);
  });
});

describe('what makes a photograph doubtful', () => {
  const kelp = linearFromHex('#44583b');

  it('light that falls off by a quarter over the card', () => {
    const falloff = (x: number) => 1 - 0.25 * (x / 28);
    expect(kinds(photograph({ yarn: kelp, card: 0.18, light: [0.8, 0.8, 0.8], falloff }), 0.18)).toEqual(['uneven']);
  });

  it('a yarn too bright for the camera, but not a few glints', () => {
    const white = linearFromHex('#f4f0e6');
    expect(kinds(photograph({ yarn: white, card: 0.18, light: [1.2, 1.2, 1.2] }), 0.18)).toContain('overexposed');
    const glints = photograph({ yarn: kelp, card: 0.18, light: [0.8, 0.8, 0.8] });
    // 5 of 576 pixels.
    for (let k = 0; k < 5; k++) glints.pixels.fill(255, ((6 + k) * 64 + 40) * 4, ((6 + k) * 64 + 40) * 4 + 4);
    expect(kinds(glints, 0.18)).toEqual([]);
  });

  it('a white card at the end of the scale', () => {
    expect(kinds(photograph({ yarn: kelp, card: 0.9, light: [1.15, 1.1, 1] }), 0.9)).toContain('overexposed');
  });

  it('a card in the dark', () => {
    expect(kinds(photograph({ yarn: kelp, card: 0.18, light: [0.08, 0.08, 0.08] }), 0.18)).toContain('dark');
  });

  it('a yarn brighter than white would be, which is held at white', () => {
    const shot = photograph({ yarn: [0.7, 0.7, 0.7], card: 0.18, light: [0.6, 0.6, 0.6] });
    const { reflectance, doubts } = colourFromPhotograph(shot, CARD, YARN, 0.5);
    expect(doubts.map(({ kind }) => kind)).toContain('gamut');
    expect(reflectance).toEqual([1, 1, 1]);
  });

  it('patches one over the other', () => {
    const shot = photograph({ yarn: kelp, card: 0.18, light: [0.8, 0.8, 0.8] });
    const { doubts } = colourFromPhotograph(shot, CARD, { ...YARN, x: 20 }, 0.18);
    expect(doubts.map(({ kind }) => kind)).toContain('overlap');
  });
});

describe('what cannot be read is refused with what to do', () => {
  const shot = photograph({ yarn: [0.2, 0.2, 0.2], card: 0.18, light: [0.8, 0.8, 0.8] });
  it.each([
    ['a patch beyond the picture', CARD, { ...YARN, x: 50 }, 0.18, /yarn: reaches beyond.*move it inside/],
    ['a patch of three pixels', { ...CARD, width: 3 }, YARN, 0.18, /card: 3 × 24 pixels are too few; mark at least/],
    ['half pixels', { ...CARD, x: 4.5 }, YARN, 0.18, /not whole pixels; round it/],
    ['a card of no reflectance', CARD, YARN, 0, /reflectance 0 cannot be; give a share/],
  ])('%s', (_, card, yarn, reflectance, reason) => {
    expect(() => colourFromPhotograph(shot, card, yarn, reflectance)).toThrow(reason);
  });

  it('a black card', () => {
    const black = photograph({ yarn: [0.2, 0.2, 0.2], card: 0, light: [0.8, 0.8, 0.8], noiseCodes: 0 });
    expect(() => colourFromPhotograph(black, CARD, YARN, 0.18)).toThrow(/black in the picture; mark the grey card/);
  });
});
