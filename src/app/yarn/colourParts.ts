import { type LengthSystem, mmPerInch } from '#app/words/numbers.ts';
import { coneOfColours, type YarnColours } from '#engine/yarn/yarnColours.ts';
import { readNumber } from './readNumber.ts';

/** One of a yarn's colours, and how much of it: parts by weight of fibres, mm along a yarn, parts of a printed face; plies are one each. */
export interface ColourPart {
  readonly colour: string;
  readonly amount: number;
}

export type ColouredBy = YarnColours['of'];

/** Sailcloth, and for what is as pale the sea: what stands beside a yarn's one colour until another is chosen. */
const BESIDE = ['#e6e0d0', '#2f5f8c'] as const;
/** As long as most runs of space-dyed yarn (2–10 cm, common practice). */
const USUAL_RUN_MM = 60;
/** Small all-over motifs, of a few mm (from memory). */
const USUAL_MOTIF_MM = 3;
const FIGURES = 5;

/** More than anybody tells apart; of plies, what there are. */
export function mostColours(of: ColouredBy, plies: number): number {
  if (of === 'one') return 1;
  if (of === 'plies') return Math.min(14, plies);
  return of === 'length' ? 40 : 14;
}

const figure = (value: number) => Number(value.toPrecision(FIGURES));

/** Its colours in order; along a yarn, from where the first begins. */
export function partsOf(colours: YarnColours): readonly ColourPart[] {
  if (colours.of === 'one') return [{ colour: colours.coneColour, amount: 1 }];
  if (colours.of === 'plies') return colours.plyColours.map((colour) => ({ colour, amount: 1 }));
  if (colours.of === 'fibres' || colours.of === 'print') {
    const shares = colours.of === 'fibres' ? colours.blend : colours.print.colours;
    return shares.map(({ colour, share }) => ({ colour, amount: figure(100 * share) }));
  }
  const { lengthMm, stops } = colours.colourRepeat;
  return stops.map(({ atMm, colour }, k) => {
    const next = k + 1 < stops.length ? stops[k + 1].atMm : stops[0].atMm + lengthMm;
    return { colour, amount: figure(next - atMm) };
  });
}

/** How far into its first colour the yarn begins, mm. */
export function startOf(colours: YarnColours): number {
  if (colours.of !== 'length') return 0;
  const { startMm, lengthMm, stops } = colours.colourRepeat;
  return figure((((startMm - stops[0].atMm) % lengthMm) + lengthMm) % lengthMm);
}

/**
 * The colours that such parts make. Shares and repeat follow from the amounts.
 * @param before how far its colours bled, where it changed along itself; how wide its motifs were, where it was printed
 */
export function coloursOfParts(
  of: ColouredBy,
  parts: readonly ColourPart[],
  startMm: number,
  before?: YarnColours,
): YarnColours {
  if (of === 'one') return { of, coneColour: parts[0].colour };
  if (of === 'plies') return { of, plyColours: parts.map(({ colour }) => colour) };
  const whole = parts.reduce((sum, { amount }) => sum + amount, 0);
  const shares = () => parts.map(({ colour, amount }) => ({ colour, share: figure(amount / whole) }));
  if (of === 'fibres') return { of, blend: shares() };
  if (of === 'print') {
    const motifMm = before?.of === 'print' ? before.print.motifMm : USUAL_MOTIF_MM;
    return { of, print: { motifMm, colours: shares() } };
  }
  let atMm = 0;
  const stops = parts.map(({ colour, amount }) => {
    const stop = { atMm: figure(atMm), colour };
    atMm += amount;
    return stop;
  });
  const bleedMm = before?.of === 'length' ? before.colourRepeat.bleedMm : undefined;
  const repeat = { lengthMm: figure(whole), startMm: figure(startMm % whole), stops };
  return { of, colourRepeat: bleedMm === undefined ? repeat : { ...repeat, bleedMm } };
}

/** Where a choice begins: with the colours that the yarn has, or its one colour and another beside it. */
export function coloursBy(of: ColouredBy, colours: YarnColours, plies: number): YarnColours {
  if (of === colours.of) return colours;
  if (of === 'one') return { of, coneColour: coneOfColours(colours, plies) };
  const has = partsOf(colours).map(({ colour }) => colour);
  const several = has.length > 1 ? has : [has[0], has[0] === BESIDE[0] ? BESIDE[1] : BESIDE[0]];
  const kept = several.slice(0, mostColours(of, plies));
  return coloursOfParts(
    of,
    kept.map((colour) => ({ colour, amount: of === 'length' ? USUAL_RUN_MM : 1 })),
    0,
  );
}

export const runUnit: Readonly<Record<LengthSystem, { readonly mm: number; readonly unit: string }>> = {
  cm: { mm: 10, unit: 'cm' },
  inch: { mm: mmPerInch, unit: 'in' },
};

/** An amount as typed, or what is wrong with it and what to do. */
export function readAmount(text: string, what: string, from: 'above 0' | 'from 0'): number | string {
  const value = readNumber(text);
  if (value !== undefined && (from === 'above 0' ? value > 0 : value >= 0)) return value;
  const wrong = value === undefined ? 'nothing is written' : `"${text.trim()}" is not a figure ${from}`;
  return `${what}: ${wrong}. Write it like 6 or 2.5.`;
}
