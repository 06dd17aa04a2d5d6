import {
  type Color,
  converter,
  formatHex,
  modeLab,
  modeLab65,
  modeLch,
  modeLch65,
  modeLrgb,
  modeRgb,
  modeXyz50,
  modeXyz65,
  useMode as registerMode,
} from 'culori/fn';

for (const mode of [modeRgb, modeLrgb, modeXyz50, modeXyz65, modeLab, modeLch, modeLab65, modeLch65])
  registerMode(mode);

/** White that L*a*b* stands against; the observer is the CIE 1931 (2°) one with both. */
export type LabWhite = 'D65' | 'D50';

/** L* 0..100, a*, b* (CIE 015:2018, 8.2.1). Against D50, colours are adapted by the Bradford matrix, as ICC profiles do. */
export type Lab = readonly [number, number, number];
/** L* 0..100, C*ab, hab in degrees 0..360. */
export type Lch = readonly [number, number, number];

export type NumberOutcome<Value> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly reason: string };

const toRgb = converter('rgb');
const toLab65 = converter('lab65');
const toLab50 = converter('lab');
const toLch65 = converter('lch65');
const toLch50 = converter('lch');
const labMode = { D65: 'lab65', D50: 'lab' } as const;
const lchMode = { D65: 'lch65', D50: 'lch' } as const;

/** Half a step of 8 bits: what rounding to a code takes in anyway. */
const GAMUT_SLACK = 0.5 / 255;

function inGamut(colour: Color): boolean {
  const { r, g, b } = toRgb(colour);
  return Math.min(r, g, b) >= -GAMUT_SLACK && Math.max(r, g, b) <= 1 + GAMUT_SLACK;
}

/** The sRGB code, "#rrggbb", or undefined where no sRGB colour is that vivid. */
export function hexFromLch([l, c, h]: Lch, white: LabWhite = 'D65'): string | undefined {
  const colour: Color = { mode: lchMode[white], l, c, h };
  return inGamut(colour) ? formatHex(colour) : undefined;
}

export function hexFromLab([l, a, b]: Lab, white: LabWhite = 'D65'): string | undefined {
  const colour: Color = { mode: labMode[white], l, a, b };
  return inGamut(colour) ? formatHex(colour) : undefined;
}

/** @param hex "#rrggbb" */
export function labFromHex(hex: string, white: LabWhite = 'D65'): Lab {
  const colour = hexColour(hex);
  const { l, a, b } = white === 'D65' ? toLab65(colour) : toLab50(colour);
  return [l, a, b];
}

/** Hue of a grey is 0. @param hex "#rrggbb" */
export function lchFromHex(hex: string, white: LabWhite = 'D65'): Lch {
  const colour = hexColour(hex);
  const { l, c, h } = white === 'D65' ? toLch65(colour) : toLch50(colour);
  // Rounding in the conversion leaves greys a chroma of about 1e-5 and any hue.
  return c < 0.01 || h === undefined ? [l, 0, 0] : [l, c, ((h % 360) + 360) % 360];
}

function hexColour(hex: string): Color {
  const codes = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex);
  if (!codes) throw new RangeError(`"${hex}" is no colour code. Write it as "#rrggbb", such as "#1f3a5f".`);
  const [r, g, b] = codes.slice(1).map((code) => Number.parseInt(code, 16) / 255);
  return { mode: 'rgb', r, g, b };
}

/** Most chroma of a lightness and hue within sRGB, to a tenth below. */
export function mostChroma(l: number, h: number, white: LabWhite = 'D65'): number {
  let low = 0;
  let high = 150;
  for (let step = 0; step < 16; step++) {
    const middle = (low + high) / 2;
    if (inGamut({ mode: lchMode[white], l, c: middle, h })) low = middle;
    else high = middle;
  }
  return Math.floor(low * 10) / 10;
}

/** Six or three hexadecimal digits, with or without #; as #rrggbb. */
export function readHex(text: string): NumberOutcome<string> {
  const digits = /^#?([0-9a-f]{6}|[0-9a-f]{3})$/i.exec(text.trim())?.[1].toLowerCase();
  if (digits !== undefined) {
    return { ok: true, value: `#${digits.length === 3 ? digits.replace(/./g, '$&$&') : digits}` };
  }
  return refusal(`"${text.trim()}" is not a colour. Write # and six digits, 0–9 and a–f, such as #27566b.`);
}

/** "52.3 -14 8.5": L*, a*, b* apart by spaces, semicolons, or commas with a space. */
export function readLab(text: string, white: LabWhite): NumberOutcome<string> {
  const numbers = readThree(text, 'L* a* b*', '52.3 -14 8.5');
  if (!numbers.ok) return numbers;
  const [l, a, b] = numbers.value;
  const range = outside(l, 0, 100, 'L*') ?? outside(a, -160, 160, 'a*') ?? outside(b, -160, 160, 'b*');
  if (range) return refusal(range);
  const hex = hexFromLab([l, a, b], white);
  if (hex) return { ok: true, value: hex };
  const hue = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  return refusal(tooVivid(l, Math.hypot(a, b), hue, white));
}

/** "52.3 24 150": L*, C*, h, as `readLab`. */
export function readLch(text: string, white: LabWhite): NumberOutcome<string> {
  const numbers = readThree(text, 'L* C* h', '52.3 24 150');
  if (!numbers.ok) return numbers;
  const [l, c, h] = numbers.value;
  const range = outside(l, 0, 100, 'L*') ?? outside(c, 0, 200, 'C*') ?? outside(h, -360, 360, 'h');
  if (range) return refusal(range);
  const hex = hexFromLch([l, c, (h + 360) % 360], white);
  return hex ? { ok: true, value: hex } : refusal(tooVivid(l, c, (h + 360) % 360, white));
}

function readThree(text: string, names: string, example: string): NumberOutcome<readonly number[]> {
  // A minus sign as typeset, and a decimal comma, are read as meant.
  const parts = text
    .trim()
    .replace(/[−–]/g, '-')
    .split(/\s*;\s*|,\s+|\s+/)
    .filter((part) => part !== '');
  if (parts.length !== 3) {
    return refusal(
      `"${text.trim()}" is ${parts.length} ${parts.length === 1 ? 'number' : 'numbers'}. Write the three of ${names}, such as ${example}.`,
    );
  }
  const numbers: number[] = [];
  for (const part of parts) {
    if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(part)) {
      return refusal(`"${part}" is not a number. Write the three of ${names}, such as ${example}.`);
    }
    numbers.push(Number(part.replace(',', '.')));
  }
  return { ok: true, value: numbers };
}

function outside(value: number, least: number, most: number, name: string): string | undefined {
  return value >= least && value <= most ? undefined : `${name} ${value} cannot be: give ${least} to ${most}.`;
}

function tooVivid(l: number, chroma: number, hue: number, white: LabWhite): string {
  const most = mostChroma(l, hue, white);
  return `No screen colour (sRGB) is that vivid: C* is ${chroma.toFixed(1)}, and at L* ${l.toFixed(1)} and this hue it reaches ${most.toFixed(1)}. Lower C* to that, or change L*.`;
}

function refusal(reason: string): { readonly ok: false; readonly reason: string } {
  return { ok: false, reason };
}
