import type { StateModel } from '#engine/cloth/states/stateTypes.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import facts from '../data/yarn-facts.json';
import { type Losses, lossesOf, type MeasuredCloth, presetYarn } from './cloths.ts';
import { waffle } from './measured.ts';

/** What the yarn facts allow for a kind of cloth, by rule of thumb or one mill's word, beside the forecast of one such cloth. */
export interface AllowanceRow {
  readonly id: string;
  readonly what: string;
  readonly forecast: number;
  /** Shares, [least, most]. */
  readonly allowed: readonly [number, number];
  readonly within: boolean;
  /** The cloth that was taken for the kind. */
  readonly taken: string;
}

/** Rules of thumb come in whole per cents. */
const ROUNDED = 0.005;

interface Entry {
  readonly id: string;
  readonly [field: string]: unknown;
}

export const ALLOWANCES: readonly Entry[] = (facts as unknown as { allowances: readonly Entry[] }).allowances;

interface Kind {
  readonly id: string;
  readonly cloth: Omit<MeasuredCloth, 'treatment'>;
  readonly taken: string;
}

/** Ends a cm of a balanced cloth: so large a share of the threads that lie side by side (common practice). */
const sett = ({ bodyWidthMm }: YarnBody, share: number): number => (10 * share) / bodyWidthMm;

const c8 = presetYarn('cotton-8-2');
const c10 = presetYarn('cotton-10-2');
const rep = presetYarn('cotton-8-4');

const balanced = (id: string, weave: Drawdown, share: number, words: string): Kind => ({
  id,
  cloth: { weave, warp: [c8], weft: [c8], endsPerCm: sett(c8, share) },
  taken: `${words} of 8/2 cotton, ends ${share} of side by side`,
});

const ruled = (rule: string): Drawdown => structureOf({ rule }).drawdown;

/** Kinds of which the structure is told well enough to take one cloth for it; yarn, sett and beat are taken. */
const KINDS: readonly Kind[] = [
  balanced('practice-balanced', plainWeave(), 0.5, 'plain'),
  balanced('practice-2-2', twill([2, 2]), 0.65, '2/2 twill'),
  balanced('practice-5-', satin(5, 2, 'warp'), 0.75, '5-end satin'),
  balanced('practice-waffle', waffle(), 0.65, 'waffle on eight'),
  balanced('practice-lace', ruled('lace'), 0.5, 'lace'),
  balanced('practice-double', ruled('doublePlain'), 1, 'double plain'),
  // Rug wefts are bubbled, so that edges stay where they are; rugs and rep are beaten hard (common practice).
  {
    id: 'practice-weft-faced',
    cloth: {
      weave: plainWeave(),
      warp: [rep],
      weft: [presetYarn('cotton-3-2')],
      endsPerCm: 3,
      firmness: 1,
      weftSlackShare: 0.1,
    },
    taken: '3/2 cotton on 8/4 at 3 ends/cm, beaten hard, weft bubbled by a tenth',
  },
  {
    id: 'practice-warp-faced',
    cloth: {
      weave: plainWeave(),
      warp: [rep],
      weft: [rep, presetYarn('cotton-cord-3')],
      endsPerCm: 48 / 2.54,
      firmness: 1,
    },
    taken: '8/4 at 48 ends/in, thick and thin picks, beaten hard',
  },
  {
    id: 'practice-overshot',
    cloth: {
      weave: ruled('overshot'),
      warp: [c10],
      weft: [presetYarn('cotton-5-2'), c10],
      endsPerCm: sett(c10, 0.5),
    },
    taken: '10/2 with 5/2 pattern and 10/2 tabby',
  },
];

/** Fibres washed in plain weave at a usual sett. */
const WASHED: Readonly<Record<string, string>> = {
  'wash-linen': 'linen-16-2',
  'wash-fine-worsted': 'merino-nm-28-2',
  'wash-woollen-lightly': 'shetland-single',
  'wash-mohair-brushed': 'mohair-brushed',
  'wash-silk-spun': 'silk-20-2',
  'wash-lyocell': 'lyocell-8-2',
  'wash-viscose-filament': 'rayon-filament-300',
  'wash-viscose-chenille': 'viscose-chenille-1450',
  'wash-polyester': 'sewing-poly-120',
  'wash-acrylic': 'acrylic-dk',
};

/** Entries that no cloth can be taken for, and why. */
export const ALLOWANCES_UNSAID: Readonly<Record<string, string>> = {
  'rule-cotton': 'any structure, take-up and shrinkage in one figure',
  'rule-wool': 'the same',
  'rule-elastic': 'the same, and by how much it is stretched is not told',
  'rule-synthetic': 'the same',
  poplin: 'counts and setts not told: crimp of 14 and 2 % is what one sett and no other gives',
  'contraction-order': 'an order: tested as one (plain takes up most, satin least)',
  'mill-mercerised-cotton': 'counts, setts and the mill’s own finish before the wash not told',
  'mill-twill-cotton': 'the same',
  'mill-plain-cotton': 'the same',
  'mill-suiting-worsted': 'the same',
  'cotton-mechanism':
    'an account of causes: its swelling of 14 % and yarn shrinkage of 2 % are what the model is given',
  'wool-scarf-relax': 'count and sett not told; its stretch of 2.2 % is what wool’s modulus is from',
  'cotton-runner-stretch': 'its stretch of 1 % is what cotton’s modulus is from',
  'magazine-towels': 'count, sett and weave not told',
  'practice-leno': 'ends that cross one another are not woven here',
  'practice-crackle': 'pattern and tabby wefts of any weight: take-up hangs on which',
  'measured-elsewhere': 'points to the records above',
};

const share = (percent: unknown): readonly [number, number] => {
  const [least, most] = percent as readonly [number, number];
  return [least / 100, most / 100];
};

/** Loss in the wash, of what there was off the loom; mean of both ways. */
function washed({ offWidth, finishedWidth, offLength, finishedLength }: Losses): number {
  const lost = (off: number, finished: number) => 1 - (1 - finished) / (1 - off);
  return (lost(offWidth, finishedWidth) + lost(offLength, finishedLength)) / 2;
}

/** Every allowance of which a cloth can be taken for its kind. */
export function allowanceRows(model?: StateModel): AllowanceRow[] {
  const entryOf = (id: string) => ALLOWANCES.find((entry) => entry.id === id) as Entry;
  const row = (id: string, what: string, forecast: number, field: string, taken: string): AllowanceRow => {
    const allowed = share(entryOf(id)[field]);
    const within = forecast >= allowed[0] - ROUNDED && forecast <= allowed[1] + ROUNDED;
    return { id, what, forecast, allowed, within, taken };
  };
  const kinds = KINDS.flatMap(({ id, cloth, taken }) => {
    const losses = lossesOf({ ...cloth, treatment: 'handWashed' }, model);
    return [
      row(id, 'take-up of the warp', losses.warpTakeUp, 'takeup_percent', taken),
      row(id, 'draw-in', losses.offWidth, 'draw_in_percent', taken),
      row(id, 'lost in the wash', washed(losses), 'wash_shrink_percent', taken),
    ];
  });
  const fibres = Object.entries(WASHED).flatMap(([id, yarn]) => {
    const body = presetYarn(yarn);
    const cloth = { weave: plainWeave(), warp: [body], weft: [body], endsPerCm: sett(body, 0.5) };
    const of = (treatment: Treatment, field: string, words: string) =>
      row(id, words, washed(lossesOf({ ...cloth, treatment }, model)), field, `plain of ${yarn}`);
    return [
      of('handWashed', 'gentle_wash_percent', 'washed by hand'),
      of('machineWashed', 'hot_wash_percent', 'washed hot, by machine'),
    ];
  });
  return [...kinds, ...fibres];
}

/** How far a forecast lies outside what is allowed, as a share. */
export const outside = ({ forecast, allowed: [least, most] }: AllowanceRow): number =>
  Math.max(0, least - forecast, forecast - most);
