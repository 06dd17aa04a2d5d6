import type { Drawdown } from '#engine/draft/drawdown.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { type Losses, type MeasuredCloth, presetYarn } from './cloths.ts';

export type Size = keyof Losses;

/** One figure that somebody measured, beside the cloth it was measured on. */
export interface MeasuredRow {
  /** Case of the published records, or entry of the yarn facts' allowances. */
  readonly id: string;
  readonly what: string;
  readonly cloth: MeasuredCloth;
  readonly size: Size | readonly [Size, Size];
  /** As a share, [least, most] where a range is told. */
  readonly measured: readonly [number, number];
  /** How closely it was read, as a share: the record's own tolerance where it has one. */
  readonly readWithin: number;
  /** What was taken where the record is silent. */
  readonly assumed: string;
  /** What the textbook allowance alone would say of it (yarn facts, common practice), [least, most]. */
  readonly allowance: readonly [number, number];
  /** Used to choose the model's constants; the others only test them. */
  readonly fitted: boolean;
}

const perInch = (threads: number): number => threads / 2.54;
const one = (value: number): readonly [number, number] => [value, value];

/** Pointed line of eight, warp raised on the line and inside: two spaces from it on, none in the other half. */
export function waffle(): Drawdown {
  const away = (k: number) => Math.min(k, 8 - k);
  return drawdownFromRows(
    Array.from({ length: 8 }, (_, row) =>
      Array.from({ length: 8 }, (_, end) => (away(row) === away(end) || away(row) >= away(end) + 2 ? 1 : 0)),
    ),
  );
}

/** 1/3 and 3/1 twill in blocks of four, turned. */
export function turnedTwill(): Drawdown {
  return drawdownFromRows(
    Array.from({ length: 8 }, (_, row) =>
      Array.from({ length: 8 }, (_, end) => {
        const warpFaced = end < 4 === row < 4;
        const marked = (end - row + 8) % 4 === 0;
        return marked === warpFaced ? 0 : 1;
      }),
    ),
  );
}

/** A pick of plain after each pick of 2/2 twill. */
function tabbyBetween(): Drawdown {
  return drawdownFromRows(
    Array.from({ length: 8 }, (_, row) =>
      Array.from({ length: 4 }, (_, end) =>
        row % 2 === 0 ? (end + row / 2) % 2 : (end - (row - 1) / 2 + 8) % 4 < 2 ? 1 : 0,
      ),
    ),
  );
}

const c8 = presetYarn('cotton-8-2');
const c10 = presetYarn('cotton-10-2');
const c16 = presetYarn('cotton-16-2');
const c20 = presetYarn('cotton-20-2');
const rep = presetYarn('cotton-8-4');

const crackle: MeasuredCloth = {
  weave: plainWeave(),
  warp: [c20],
  weft: [c20],
  endsPerCm: perInch(30),
  picksPerCm: perInch(31),
  treatment: 'handWashed',
};
const sampler: MeasuredCloth = {
  weave: tabbyBetween(),
  warp: [c8],
  weft: [c8, presetYarn('cotton-3-2')],
  endsPerCm: perInch(20),
  treatment: 'handWashed',
};
const napkins: MeasuredCloth = {
  weave: plainWeave(),
  warp: [c10],
  weft: [c10],
  endsPerCm: perInch(24),
  picksPerCm: perInch(21),
  treatment: 'machineWashed',
};
const towel = (weave: Drawdown, warp = c8, epi = 20): MeasuredCloth => ({
  weave,
  warp: [warp],
  weft: [warp],
  endsPerCm: perInch(epi),
  treatment: 'machineWashed',
});
const mill = (weave: Drawdown, epi: number, ppi: number, warpNe: number, weftNe: number): MeasuredCloth => {
  const cotton = (Ne: number) =>
    presetYarn('cotton-20-2', {
      tex: 590.54 / Ne,
      plies: 1,
      bendingNmm2: bendingOfCount(Ne),
      contactWidthMm: undefined,
    });
  return {
    weave,
    warp: [cotton(warpNe)],
    weft: [cotton(weftNe)],
    endsPerCm: perInch(epi),
    picksPerCm: perInch(ppi),
    treatment: 'none',
  };
};

/** Bending goes as the count: 20/2, 59 tex, has 0.0034 to 0.02 N mm² with its fibres free to six times that. */
function bendingOfCount(Ne: number): readonly [number, number] {
  const share = 590.54 / Ne / 59.05;
  return [0.0034 * share, 0.02 * share];
}

/** Allowances of balanced cotton: draw-in 5–10 %, wash 5–12 %; twill 6–12 and 8–15; waffle 8–12 and 18–30. */
const both = (first: readonly [number, number], then: readonly [number, number]): readonly [number, number] => [
  1 - (1 - first[0]) * (1 - then[0]),
  1 - (1 - first[1]) * (1 - then[1]),
];
const PLAIN_IN = [0.05, 0.1] as const;
const PLAIN_WASH = [0.05, 0.12] as const;
const TWILL_IN = [0.06, 0.12] as const;
const TWILL_WASH = [0.08, 0.15] as const;
const WAFFLE = both([0.08, 0.12], [0.18, 0.3]);

const row = (
  id: string,
  what: string,
  cloth: MeasuredCloth,
  size: MeasuredRow['size'],
  measured: readonly [number, number],
  readWithin: number,
  allowance: readonly [number, number],
  fitted: boolean,
  assumed: string,
): MeasuredRow => ({ id, what, cloth, size, measured, readWithin, allowance, fitted, assumed });

/** Every measured size that says enough of its cloth. */
export const MEASURED: readonly MeasuredRow[] = [
  row(
    'MF-01',
    'width at the fell',
    crackle,
    'fell',
    one(1 - 34 / 36.5),
    0.03 * (34 / 36.5),
    PLAIN_IN,
    true,
    '20/2 cotton; 31 picks/in',
  ),
  row(
    'MF-01',
    'width off the loom',
    crackle,
    'offWidth',
    one(1 - 33 / 36.5),
    0.03 * (33 / 36.5),
    PLAIN_IN,
    false,
    'the same',
  ),
  row(
    'MF-01',
    'width washed twice',
    crackle,
    'finishedWidth',
    one(1 - 32.25 / 36.5),
    0.03 * (32.25 / 36.5),
    both(PLAIN_IN, PLAIN_WASH),
    false,
    'washed by hand',
  ),
  row(
    'MF-01',
    'length, loom to washed',
    crackle,
    'finishedLength',
    one(1 - 7 / 7.25),
    0.02,
    PLAIN_WASH,
    true,
    'washed by hand',
  ),
  row(
    'MF-03',
    'width as woven',
    sampler,
    'fell',
    [1 - 5.25 / 6, 1 - 5 / 6],
    0.05 * (5.125 / 6),
    TWILL_IN,
    false,
    '2/2 twill pattern on plain; fairly firm beat',
  ),
  row(
    'MF-03',
    'width finished',
    sampler,
    'finishedWidth',
    [1 - 5 / 6, 1 - 4.75 / 6],
    0.05 * (4.875 / 6),
    both(TWILL_IN, TWILL_WASH),
    true,
    'washed by hand',
  ),
  row(
    'MF-03',
    'length, loom to finished',
    sampler,
    'finishedLength',
    [1 - 3 / 3.25, 1 - 2.75 / 3],
    0.05 * (2.875 / 3.125),
    TWILL_WASH,
    false,
    'the same',
  ),
  row(
    'MF-13',
    'shrinkage, both ways',
    towel(waffle()),
    ['finishedWidth', 'finishedLength'],
    one(0.18),
    0.03,
    WAFFLE,
    true,
    'waffle throughout; 8/2 weft; machine wash',
  ),
  row(
    'MF-14',
    'shrinkage, both ways',
    towel(twill([1, 3]), c16, 40),
    ['finishedWidth', 'finishedLength'],
    one(0.1),
    0.03,
    both(TWILL_IN, TWILL_WASH),
    false,
    '1/3 twill for false satin; fairly firm beat; machine wash',
  ),
  row(
    'MF-16',
    'width, reed to washed',
    napkins,
    'finishedWidth',
    one(0.15),
    0.03,
    both(PLAIN_IN, PLAIN_WASH),
    true,
    'machine wash',
  ),
  row(
    'MF-16',
    'length, loom to washed',
    napkins,
    'finishedLength',
    one(0.15),
    0.03,
    both([0.06, 0.1], PLAIN_WASH),
    false,
    'the same',
  ),
  row(
    'MF-18',
    'width, reed to finished',
    { ...towel(turnedTwill()), weft: [presetYarn('cottolin-22-2')] },
    'finishedWidth',
    one(0.2),
    0.04 * 0.8,
    both(TWILL_IN, TWILL_WASH),
    false,
    'fairly firm beat; machine wash',
  ),
  row(
    'MF-19',
    'width, reed to finished',
    towel(twill([2, 2])),
    'finishedWidth',
    one(1 - 11 / 14),
    0.04 * (11 / 14),
    both(TWILL_IN, TWILL_WASH),
    true,
    '2/2 twill; fairly firm beat; machine wash',
  ),
  row(
    'twill-8-2',
    'draw-in of the same towels',
    towel(twill([2, 2])),
    'offWidth',
    one(0.09),
    0.02,
    TWILL_IN,
    false,
    'the same',
  ),
  row(
    'MF-21',
    'width, warp-faced rep',
    { ...towel(plainWeave(), rep, 48), weft: [rep, presetYarn('cotton-cord-3')] },
    'offWidth',
    [0, 0.03],
    0.02,
    [0, 0.02],
    false,
    '8/4 warp at 48 ends/in, thick and thin picks',
  ),
  row(
    'taylor-plain-med',
    'warp contraction',
    mill(plainWeave(), 60, 60, 32, 40),
    'warpTakeUp',
    one(0.045),
    0.01,
    [0.06, 0.1],
    true,
    '60 ends/in',
  ),
  row(
    'taylor-plain-fine',
    'warp contraction',
    mill(plainWeave(), 90, 120, 60, 70),
    'warpTakeUp',
    one(0.0686),
    0.01,
    [0.06, 0.1],
    false,
    '90 ends/in: at 120 round yarns would jam',
  ),
  row(
    'taylor-satin',
    'warp contraction',
    mill(satin(5, 2, 'weft'), 90, 180, 60, 70),
    'warpTakeUp',
    one(0.04),
    0.01,
    [0.03, 0.06],
    false,
    '90 ends/in',
  ),
];

/** Records of the same topic that leave too much unsaid, and why. */
export const UNSAID: Readonly<Record<string, string>> = {
  'MF-05': 'wefts not told',
  'MF-06': 'sett, weave and yarn not told; the length is of wool under an unknown tension',
  'MF-08': 'handspun: no count, no sett',
  'MF-10': 'handspun: no count, no sett; the length holds loom waste',
  'MF-11': 'handspun: no count; 6 ends/in',
  'MF-22': 'sett, counts and weave not told; the difference of two wefts',
  'MF-24': 'sett, counts and weave not told',
  'MF-28': 'counts and setts not told',
};
