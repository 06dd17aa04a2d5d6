import { type YarnHair, yarnHair } from './hair.ts';
import type { YarnRecord } from './yarnRecord.ts';

type MaybeHair = YarnHair | undefined;

/** Length of hair on a mm of yarn, mm. */
const lengthPerMm = ({ perMm, meanLengthMm }: YarnHair): number => perMm * meanLengthMm;

/** Loops, wraps of a core, threads of frayed edges, loose hair, pile and bristles on wire cannot stand for one another. */
const kindOf = ({ form, pressed, wireMm = 0, windsPerMm = 0 }: YarnHair): string =>
  `${form} ${pressed} ${wireMm > 0} ${windsPerMm}`;

/** Those of the kind of which there is most, by length; of the others nothing. */
function ofOneKind(hairs: readonly MaybeHair[]): readonly MaybeHair[] {
  const totals = new Map<string, number>();
  for (const hair of hairs) if (hair) totals.set(kindOf(hair), (totals.get(kindOf(hair)) ?? 0) + lengthPerMm(hair));
  const [most] = [...totals].reduce<[string, number]>((best, each) => (each[1] > best[1] ? each : best), ['', 0]);
  return hairs.map((hair) => (hair && kindOf(hair) === most ? hair : undefined));
}

/**
 * Hair of yarns that lie together in one thread. Its length on a mm and the area that it covers, n · L and n · L · d, are those of the
 * strands added up; all else is their mean by length of hair, and so is the mean length: Σ n L² / Σ n L. Of hair of several
 * kinds the one of which there is most is kept.
 */
export function sumOfHair(all: readonly MaybeHair[]): MaybeHair {
  const hairs = ofOneKind(all).flatMap((hair) => (hair ? [hair] : []));
  if (hairs.length < 2) return hairs[0];
  const total = hairs.reduce((sum, hair) => sum + lengthPerMm(hair), 0);
  const mean = (of: (hair: YarnHair) => number) =>
    hairs.reduce((sum, hair) => sum + (lengthPerMm(hair) / total) * of(hair), 0);
  const meanLengthMm = mean((hair) => hair.meanLengthMm);
  const { sweepRad, ...longest } = hairs.reduce((most, hair) => (lengthPerMm(hair) > lengthPerMm(most) ? hair : most));
  const swept = sweepRad !== undefined && hairs.every((hair) => hair.sweepRad !== undefined);
  return {
    ...longest,
    perMm: total / meanLengthMm,
    meanLengthMm,
    longestMm: Math.max(...hairs.map(({ longestMm }) => longestMm)),
    evenness: mean(({ evenness }) => evenness),
    diameterMm: mean(({ diameterMm }) => diameterMm),
    taper: mean(({ taper }) => taper),
    leanMeanRad: mean(({ leanMeanRad }) => leanMeanRad),
    ...(swept ? { sweepRad: mean((hair) => hair.sweepRad ?? 0) } : {}),
    onFace: mean(({ onFace = 0 }) => onFace),
    curl: mean(({ curl = 0 }) => curl),
    unevenness: mean(({ unevenness = 0 }) => unevenness),
    heightMm: mean(({ heightMm }) => heightMm),
    coreShare: mean(({ coreShare }) => coreShare),
  };
}

/** As spun. */
export function hairOfStrands(records: readonly YarnRecord[]): MaybeHair {
  return sumOfHair(records.map(yarnHair));
}

/** Of all that hair of the drawn kind covers on yarns wound together, what each one's does; 1 for the first where none has any. */
export function hairShares(records: readonly YarnRecord[]): readonly number[] {
  const covers = ofOneKind(records.map(yarnHair)).map((hair) => (hair ? lengthPerMm(hair) * hair.diameterMm : 0));
  const all = covers.reduce((sum, cover) => sum + cover, 0);
  return covers.map((cover, k) => (all > 0 ? cover / all : k === 0 ? 1 : 0));
}
