import { packingFromDiameter, roundDiameterMm } from './diameter.ts';
import {
  common,
  estimate,
  figures,
  measuredByYou,
  type OwnYarnMeasured,
  type OwnYarnProblem,
  type Ranged,
  type Wraps,
} from './ownYarnTypes.ts';
import { RULER_MM } from './ownYarnWeight.ts';
import type { Compressibility } from './yarnTypes.ts';
import { CONTACT_OVER_BODY } from './yarnWidths.ts';

/** Share of fibre where another yarn presses, by how far the yarn gives: as on the cards of spun yarns (common practice). */
export const CONTACT_PACKING: Readonly<Record<Compressibility, Ranged>> = {
  none: { value: 1, low: 0.9, high: 1 },
  low: { value: 0.6, low: 0.5, high: 0.65 },
  medium: { value: 0.52, low: 0.45, high: 0.6 },
  high: { value: 0.4, low: 0.3, high: 0.5 },
};
const UNKNOWN_PACKING: Ranged = { value: 0.5, low: 0.3, high: 0.65 };

/** Contact width over the width that a ruler counts: ranges met, see `CONTACT_OVER_BODY`; 0.38 in class tables of lofty yarn. */
const CONTACT_OVER_COUNTED: Readonly<Record<Compressibility, Ranged>> = {
  none: { value: 1, low: 0.95, high: 1 },
  low: { value: CONTACT_OVER_BODY.low, low: 0.69, high: 1 },
  medium: { value: CONTACT_OVER_BODY.medium, low: 0.59, high: 0.73 },
  high: { value: CONTACT_OVER_BODY.high, low: 0.38, high: 0.73 },
};

/** A thumbnail does not press as a crossing does: pushed-up counts are good to about a tenth (estimate). */
const PUSHED_DOUBT = 0.1;

/** No yarn of fibres is fuller: hexagonal packing of round rods is 0.907, and spun yarn stays below 0.75. */
const FULLEST = 0.907;
/** Emptiest that was met is a wide-open net strip or a brushed halo, 0.03–0.1. */
const EMPTIEST = 0.02;

export interface OwnWidths {
  readonly contactMm: Ranged;
  readonly freeMm?: Ranged;
  readonly packing: Ranged;
  readonly compressibility: Compressibility;
  readonly from: {
    readonly contact: string;
    readonly free?: string;
    readonly packing: string;
    readonly compressibility: string;
  };
}

/** Width of one turn: counted to half a turn and the ruler's half millimetre. */
export function widthOfWraps({ turns, overMm }: Wraps): Ranged {
  return {
    value: overMm / turns,
    low: Math.max(overMm / 2, overMm - RULER_MM) / (turns + 0.5),
    high: (overMm + RULER_MM) / Math.max(turns / 2, turns - 0.5),
  };
}

/** What a count says in words: "24 wraps in 25 mm". */
export function wrapsInWords({ turns, overMm }: Wraps): string {
  return `${figures(turns)} wraps in ${figures(overMm)} mm`;
}

/** Above what spun yarn is ever filled to lie wire, cord of one filament and film. */
const SOLID_PACKING = 0.8;

/** How far a yarn gives, judged by how full of fibre it lies on the ruler: linens 0.25–0.32, woollens 0.15, lofty 0.07. */
function givesByLoft(freePacking: number): Compressibility {
  if (freePacking > SOLID_PACKING) return 'none';
  if (freePacking > 0.285) return 'low';
  return freePacking > 0.19 ? 'medium' : 'high';
}

/**
 * The same by how much narrower it is pushed up close: half way between the classes' own ratios. What holds air gives,
 * however it was pushed.
 */
function givesByPushing(ratio: number, freePacking: number): Compressibility {
  if (ratio > 0.9 && freePacking > SOLID_PACKING) return 'none';
  if (ratio > 0.71) return 'low';
  return ratio > 0.64 ? 'medium' : 'high';
}

function sound(wraps: Wraps | undefined): wraps is Wraps {
  return wraps !== undefined && wraps.turns > 0 && wraps.overMm > 0;
}

/** The wraps where they can be those of a yarn so heavy; else undefined, and why is told. */
function believed(
  wraps: Wraps,
  tex: Ranged,
  density: Ranged,
  fibre: string | undefined,
  problems: OwnYarnProblem[],
): Ranged | undefined {
  const width = widthOfWraps(wraps);
  const fullest = packingFromDiameter(tex.low, width.high, density.high);
  const emptiest = packingFromDiameter(tex.high, width.low, density.low);
  const told = `${wrapsInWords(wraps)} and ${figures(tex.value, 3)} tex do not go together`;
  if (fullest > FULLEST) {
    const least = roundDiameterMm(tex.low, FULLEST, density.high);
    problems.push({
      at: ['wraps', 'grams', 'metres'],
      what: `${told}: even without any air in it ${fibre ?? 'a yarn'} of that weight is ${figures(least, 2)} mm thick, and no more than ${Math.floor(wraps.overMm / least)} turns fit there side by side`,
      remedy:
        'count again with the turns beside each other, not on top, or weigh again; the count is set aside meanwhile',
      stops: false,
    });
    return undefined;
  }
  if (emptiest < EMPTIEST) {
    problems.push({
      at: ['wraps', 'grams', 'metres'],
      what: `${told}: the yarn would be ${Math.floor(100 * (1 - emptiest))} % air`,
      remedy: 'count again with the turns touching, or weigh again; the count is set aside meanwhile',
      stops: false,
    });
    return undefined;
  }
  return width;
}

/**
 * Contact and free width and packing of a round yarn from its weight, its wraps and how it gives.
 *
 * Free: the width of a turn on the ruler. Contact: where pushed-up turns were counted, theirs; else what the weight gives
 * at the packing usual for so soft a yarn, d = sqrt(4T/(π φ ρ 1000)) (Peirce 1937), narrowed by what its wraps allow.
 * Packing follows from weight and contact. Ranges carry every reading's error to its worst corner.
 */
export function ownWidths(
  measured: OwnYarnMeasured,
  tex: Ranged,
  density: Ranged,
  problems: OwnYarnProblem[],
): OwnWidths {
  const { wraps, wrapsPressed, squeeze, fibre } = measured;
  const free = sound(wraps) ? believed(wraps, tex, density, fibre, problems) : undefined;
  const pushed = sound(wrapsPressed) ? believedPushed(wrapsPressed, free, problems) : undefined;
  const freePacking = free && packingFromDiameter(tex.value, free.value, density.value);

  let compressibility: Compressibility | undefined = squeeze;
  let givesFrom = measuredByYou;
  if (squeeze === 'none' && freePacking !== undefined && freePacking < 0.5) {
    compressibility = undefined;
    const solidMm = roundDiameterMm(tex.value, 1, density.value);
    problems.push({
      at: ['squeeze', 'wraps'],
      what: `it does not give at all, yet its wraps leave it ${Math.round(100 * (1 - freePacking))} % air; solid, it would be ${figures(solidMm, 2)} mm thick`,
      remedy:
        'squeeze it again, or count the wraps with the turns touching; how far it gives is taken from its wraps meanwhile',
      stops: false,
    });
  }
  if (compressibility === undefined) {
    givesFrom = `${estimate}: ${pushed && free ? 'how much closer its turns can be pushed' : freePacking ? 'how full of fibre it lies on the ruler' : 'as most spun yarns'}`;
    compressibility =
      pushed && free && freePacking !== undefined
        ? givesByPushing(pushed.value / free.value, freePacking)
        : freePacking
          ? givesByLoft(freePacking)
          : 'medium';
  }

  const known = squeeze !== undefined || free !== undefined || pushed !== undefined;
  const byWeight = atPacking(tex, density, known ? CONTACT_PACKING[compressibility] : UNKNOWN_PACKING);
  const ratio = CONTACT_OVER_COUNTED[compressibility];
  const byWraps = free && { value: free.value * ratio.value, low: free.low * ratio.low, high: free.high * ratio.high };
  let contact = pushed ?? byWeight;
  let contactFrom = pushed
    ? `${measuredByYou}: ${wrapsInWords(wrapsPressed!)}, pushed up close`
    : `${estimate} from weight and usual packing`;
  if (compressibility === 'none' && free && !pushed) {
    contact = free;
    contactFrom = measuredByYou;
  } else if (byWraps) {
    const both = common(contact, byWraps);
    if (both) contact = both;
    if (both && !pushed) contactFrom = `${estimate} from weight and wraps`;
  }
  const packing = packingOf(tex, contact, density);
  // A section cannot hold more fibre than it has room for: a contact so narrow is widened to what the weight needs.
  if (packing.value >= 1)
    contact = { ...contact, value: Math.max(contact.value, roundDiameterMm(tex.value, 1, density.value)) };
  return {
    contactMm: { ...contact, high: Math.max(contact.high, contact.value) },
    ...(free
      ? {
          freeMm: {
            value: Math.max(free.value, contact.value),
            low: Math.max(free.low, contact.low),
            high: Math.max(free.high, contact.value),
          },
        }
      : {}),
    packing,
    compressibility,
    from: {
      contact: contactFrom,
      ...(free ? { free: `${measuredByYou}: ${wrapsInWords(wraps!)}` } : {}),
      packing: pushed ? `computed from weight and width, ${measuredByYou}` : `${estimate} for how far it gives`,
      compressibility: givesFrom,
    },
  };
}

function believedPushed(wraps: Wraps, free: Ranged | undefined, problems: OwnYarnProblem[]): Ranged | undefined {
  const { value, low, high } = widthOfWraps(wraps);
  const width = { value, low: low * (1 - PUSHED_DOUBT), high: high * (1 + PUSHED_DOUBT) };
  if (!free || width.low <= free.high) return free ? { ...width, value: Math.min(value, free.value) } : width;
  problems.push({
    at: ['wrapsPressed', 'wraps'],
    what: `pushed up close a turn takes ${figures(value, 2)} mm, more than the ${figures(free.value, 2)} mm that it takes slack`,
    remedy: 'see whether the two counts are exchanged; the one pushed up close is set aside meanwhile',
    stops: false,
  });
  return undefined;
}

function atPacking(tex: Ranged, density: Ranged, packing: Ranged): Ranged {
  return {
    value: roundDiameterMm(tex.value, packing.value, density.value),
    low: roundDiameterMm(tex.low, packing.high, density.high),
    high: roundDiameterMm(tex.high, packing.low, density.low),
  };
}

/** Never beyond solid. */
function packingOf(tex: Ranged, width: Ranged, density: Ranged): Ranged {
  const cap = (packing: number) => Math.min(1, packing);
  return {
    value: cap(packingFromDiameter(tex.value, width.value, density.value)),
    low: cap(packingFromDiameter(tex.low, width.high, density.high)),
    high: cap(packingFromDiameter(tex.high, width.low, density.low)),
  };
}
