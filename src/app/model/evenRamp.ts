import { converter, interpolate, modeOklab, modeRgb, useMode as registerMode } from 'culori/fn';

registerMode(modeRgb);
registerMode(modeOklab);

/**
 * Ends of the ramp of a map, none dark and most bright, alike in both schemes. From blue to yellow over grey, which every
 * kind of colour vision tells apart; lightness alone goes nearly all the way (as C. Nuñez, C. Anderton & R. Renslow 2018
 * ask of such ramps).
 */
export const GRIN_RAMP = ['#10193a', '#fff0b0'] as const;

const toRgb = converter('rgb');

/**
 * Bytes of sRGB, three a step, from one colour to another in steps that the eye finds even: straight in OKLab
 * (B. Ottosson 2020), so of one hue where the first colour is a grey.
 */
export function evenRamp(from: string, to: string, steps: number): Uint8ClampedArray {
  const at = interpolate([from, to], 'oklab');
  const bytes = new Uint8ClampedArray(3 * steps);
  for (let k = 0; k < steps; k++) {
    const { r, g, b } = toRgb(at(k / (steps - 1)));
    bytes.set([255 * r, 255 * g, 255 * b], 3 * k);
  }
  return bytes;
}
