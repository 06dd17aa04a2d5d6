import { hexFromLinear, type LinearRgb, linearFromHex } from '#engine/colour/colour.ts';
import { type DyeClass, yarnUptake } from './dyeUptake.ts';
import type { YarnRecord } from './yarnRecord.ts';
import type { ColourShare } from './yarnSurface.ts';

/**
 * Ratio of absorption K to scattering S of an opaque layer that returns `reflectance`:  K/S = (1 − R)² / (2 R).
 * P. Kubelka & F. Munk 1931, Z. tech. Phys. 12, 593. Reflectance above 0 and up to 1.
 */
export function absorptionRatio(reflectance: number): number {
  return (1 - reflectance) ** 2 / (2 * reflectance);
}

/** The inverse: what an opaque layer returns, R = 1 + K/S − √((K/S)² + 2 K/S), written so that nothing cancels. */
export function reflectanceOfRatio(ratio: number): number {
  return 1 / (1 + ratio + Math.sqrt(ratio * ratio + 2 * ratio));
}

/** No wound cone looks darker: its own gloss (about L* 5). A dye given as blacker is taken as this. */
const DARKEST = 0.005;

/** A bath: what it makes of pure white that takes it wholly, and how much of it over what that colour is given for. */
export interface Dyebath {
  readonly dye: DyeClass;
  readonly colour: LinearRgb;
  /** Dye for the weight of goods, over that of `colour`; 0.05..4. Fibres are not taken to fill up before. */
  readonly depth: number;
}

/**
 * Colour of a cone after a dyebath. Dye absorbs and hardly scatters, so K/S grows by what was taken up, in proportion (D. R. Duncan
 * 1940, Proc. Phys. Soc. 52, 390, for mixtures; the working rule of recipe prediction). Never lighter than before.
 * Three channels stand for the spectrum: hues of mixtures are good to a few ΔE for broad absorptions, less for narrow ones.
 * @param colour of the cone, linear light
 * @param uptake share of the bath's depth that the yarn takes, 0..1
 */
export function dyedColour(
  colour: LinearRgb,
  { colour: dye, depth }: Pick<Dyebath, 'colour' | 'depth'>,
  uptake: number,
): LinearRgb {
  const channel = (k: 0 | 1 | 2): number => {
    const taken = uptake * depth * absorptionRatio(Math.min(1, Math.max(DARKEST, dye[k])));
    return Math.min(colour[k], reflectanceOfRatio(absorptionRatio(Math.min(1, colour[k])) + taken));
  };
  return [channel(0), channel(1), channel(2)];
}

/** As `dyedColour`, from code to code ("#rrggbb"). */
function dyedCode(code: string, bath: Dyebath, uptake: number): string {
  return hexFromLinear(dyedColour(linearFromHex(code), bath, uptake));
}

/**
 * The yarn's record after the bath: its colour, and those of its plies, its fibres, its print, its back and along it; the very same where it
 * takes nothing. Paint, glitter and a wire core keep theirs.
 */
export function overdyed<Card extends YarnRecord>(record: Card, bath: Dyebath): Card {
  const { share } = yarnUptake(record, bath.dye);
  if (share === 0) return record;
  const dyed = (code: string) => dyedCode(code, bath, share);
  const { colourRepeat, plyColours, blend, print, back } = record;
  const each = (parts: readonly ColourShare[]) => parts.map((part) => ({ ...part, colour: dyed(part.colour) }));
  return {
    ...record,
    coneColour: dyed(record.coneColour),
    ...(colourRepeat
      ? {
          colourRepeat: {
            ...colourRepeat,
            stops: colourRepeat.stops.map((at) => ({ ...at, colour: dyed(at.colour) })),
          },
        }
      : {}),
    ...(plyColours ? { plyColours: plyColours.map(dyed) } : {}),
    ...(blend ? { blend: each(blend) } : {}),
    ...(print ? { print: { ...print, colours: each(print.colours) } } : {}),
    ...(back ? { back: { ...back, coneColour: dyed(back.coneColour) } } : {}),
  };
}
