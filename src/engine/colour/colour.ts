import {
  type Color,
  converter,
  differenceCiede2000,
  formatHex,
  modeLab65,
  modeLrgb,
  modeRgb,
  modeXyz65,
  parseHex,
  useMode as registerMode,
} from 'culori/fn';

registerMode(modeRgb);
registerMode(modeLrgb);
registerMode(modeXyz65);
registerMode(modeLab65);

/** Linear light in the sRGB primaries (IEC 61966-2-1, D65): red, green, blue; 0..1 for surfaces under the key light. */
export type LinearRgb = readonly [number, number, number];

const toLinear = converter('lrgb');
const toRgb = converter('rgb');
const toLab = converter('lab65');
const differenceInLab65 = differenceCiede2000();

/**
 * Linear light of an sRGB code "#rgb" or "#rrggbb".
 * @throws RangeError where the text is no such code.
 */
export function linearFromHex(hex: string): LinearRgb {
  const parsed = /^#(?:[0-9a-f]{3}|[0-9a-f]{6})$/i.test(hex) ? parseHex(hex) : undefined;
  if (parsed === undefined)
    throw new RangeError(`"${hex}" is no colour code. Write it as "#rrggbb", such as "#1f3a5f".`);
  const { r, g, b } = toLinear(parsed);
  return [r, g, b];
}

/** The nearest sRGB code "#rrggbb"; light beyond 0..1 is clipped channel by channel. */
export function hexFromLinear(linear: LinearRgb): string {
  return formatHex(asColour(linear));
}

/**
 * Mean of several lights: what the eye sees where threads are too fine to tell apart. Weights need not sum to 1.
 * @throws RangeError where there is nothing to average or the weights do not fit.
 */
export function meanLinear(lights: readonly LinearRgb[], weights?: readonly number[]): LinearRgb {
  if (lights.length === 0 || (weights && weights.length !== lights.length)) {
    throw new RangeError(
      `${lights.length} colours and ${weights?.length ?? 'no'} weights were given; give one weight each.`,
    );
  }
  const mean: [number, number, number] = [0, 0, 0];
  let total = 0;
  lights.forEach((light, k) => {
    const weight = weights?.[k] ?? 1;
    total += weight;
    for (let channel = 0; channel < 3; channel++) mean[channel] += weight * light[channel];
  });
  if (!(total > 0)) throw new RangeError('The weights of the colours sum to 0; at least one must count.');
  return [mean[0] / total, mean[1] / total, mean[2] / total];
}

/** By the weights of the sRGB primaries (IEC 61966-2-1), of linear light. */
export function luminance([r, g, b]: readonly number[]): number {
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** CIE 1976 lightness L*, 0..100, against the D65 white of sRGB. */
export function lightness(linear: LinearRgb): number {
  return toLab(asColour(linear)).l;
}

/** CIE L*a*b* against the D65 white of sRGB. */
export function labFromLinear(linear: LinearRgb): readonly [number, number, number] {
  const { l, a, b } = toLab(asColour(linear));
  return [l, a, b];
}

/**
 * CIEDE2000 difference (G. Sharma, W. Wu & E. N. Dalal 2005), in L*a*b* against D65. Against D50, as print does, the same
 * pair differs by a few per cent.
 */
export function colourDifference(first: LinearRgb, second: LinearRgb): number {
  return differenceInLab65(asColour(first), asColour(second));
}

/** As `colourDifference`, from CIE L*a*b* (both against the same white). */
export function colourDifferenceOfLabs(
  first: readonly [number, number, number],
  second: readonly [number, number, number],
): number {
  const asLab = ([l, a, b]: readonly [number, number, number]): Color => ({ mode: 'lab65', l, a, b });
  return differenceInLab65(asLab(first), asLab(second));
}

function asColour([r, g, b]: LinearRgb): Color {
  return { mode: 'lrgb', r, g, b };
}

/** Codes 0..255 of a light, for textures and pictures. */
export function codesFromLinear(linear: LinearRgb): readonly [number, number, number] {
  const { r, g, b } = toRgb(asColour(linear));
  const code = (value: number) => Math.round(255 * Math.min(1, Math.max(0, value)));
  return [code(r), code(g), code(b)];
}
