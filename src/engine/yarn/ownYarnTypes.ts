import type { Hairiness, Lustre, YarnRecord } from './yarnRecord.ts';
import type { Compressibility } from './yarnTypes.ts';

/** A figure with what it may be for all that the reading leaves open. */
export interface Ranged {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Turns counted on a ruler. */
export interface Wraps {
  readonly turns: number;
  readonly overMm: number;
}

/** How much longer it grows between the hands. */
export type Stretch = 'none' | 'some' | 'much';

/** How it hangs over a finger. */
export type Stiffness = 'limp' | 'usual' | 'stiff' | 'wire';

/** What a yarn looks like at a glance. */
export const ownYarnKinds = [
  'spun',
  'filament',
  'hairy',
  'pile',
  'loops',
  'gimp',
  'cord',
  'line',
  'wire',
  'film',
  'hologram',
  'cloth',
  'jersey',
  'felt',
  'ribbon',
  'net',
  'sheer',
  'paper',
] as const;
export type OwnYarnKind = (typeof ownYarnKinds)[number];

/** What can be read off a yarn at a table, with a scale, a ruler and two fingers. All but a way to its weight may be missing. */
export interface OwnYarnMeasured {
  readonly id: string;
  readonly name: string;
  /** In any words: "lambswool and silk". */
  readonly fibre?: string;
  readonly shape: 'round' | 'strip';
  /** Stands for what was not tried; spun yarn unless given. */
  readonly kind?: OwnYarnKind;
  readonly grams?: number;
  /** Smallest step that the scale shows, g. */
  readonly scaleStepG?: number;
  readonly metres?: number;
  /** As a label says it: "Ne 8/2". */
  readonly count?: string;
  readonly plies?: number;
  /** Turns laid side by side, touching and slack. */
  readonly wraps?: Wraps;
  /** The same pushed up close with the thumbnail. */
  readonly wrapsPressed?: Wraps;
  readonly stripWidthMm?: number;
  readonly gaugeMm?: number;
  /** Of a net: from one strand to the next that runs alongside it. */
  readonly holeToHoleMm?: number;
  /** Of a net: how thick its strands are. */
  readonly strandMm?: number;
  /** How far it gives between finger and thumb. */
  readonly squeeze?: Compressibility;
  readonly stretch?: Stretch;
  readonly stiffness?: Stiffness;
  readonly hairiness?: Hairiness;
  readonly lustre?: Lustre;
  /** '#rrggbb'. */
  readonly coneColour?: string;
  /** How the colour was come by: "photographed beside a grey card". */
  readonly colourFrom?: string;
  /** The other side of a strip, '#rrggbb'; as the first unless given. */
  readonly backColour?: string;
  readonly backLustre?: Lustre;
}

export type OwnYarnField =
  | 'grams'
  | 'metres'
  | 'count'
  | 'plies'
  | 'wraps'
  | 'wrapsPressed'
  | 'stripWidthMm'
  | 'gaugeMm'
  | 'holeToHoleMm'
  | 'strandMm'
  | 'squeeze'
  | 'fibre';

/** Readings that cannot all be true, or one that is lacking. */
export interface OwnYarnProblem {
  /** Readings concerned, the first the one to look at first. */
  readonly at: readonly OwnYarnField[];
  /** One clause without a full stop. */
  readonly what: string;
  /** What to do about it, one clause without a full stop. */
  readonly remedy: string;
  /** No yarn can be made before it is mended. Otherwise the reading is set aside and the rest holds. */
  readonly stops: boolean;
}

export interface OwnYarn {
  /** Undefined while something is lacking. */
  readonly record: YarnRecord | undefined;
  readonly problems: readonly OwnYarnProblem[];
}

export const measuredByYou = 'measured by you';
export const estimate = 'estimate';

/** [low, high] that both allow; undefined where they exclude each other. */
export function common(a: Ranged, b: Ranged): Ranged | undefined {
  const low = Math.max(a.low, b.low);
  const high = Math.min(a.high, b.high);
  return low <= high ? { value: Math.min(high, Math.max(low, a.value)), low, high } : undefined;
}

/** As many figures as a reading can bear: ranges say the rest. */
export function figures(value: number, digits = 4): number {
  return Number(value.toPrecision(digits));
}
