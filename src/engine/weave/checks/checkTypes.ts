import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { Millimetres } from '#engine/units/units.ts';

/** A yarn as the checks need it. */
export interface CheckedYarn {
  /** Cut pile held by a core, as of chenille: it works out of long floats. */
  readonly pile: boolean;
  /** Across a thread as it lies beside others, for the sett. */
  readonly diameterMm: Millimetres;
}

/** A woven piece: row by row what lies uppermost, which yarns, how the weft runs, and where threads lie. */
export interface CheckedCloth {
  readonly drawdown: Drawdown;
  readonly yarns: readonly CheckedYarn[];
  readonly endYarn: ArrayLike<number>;
  readonly rowYarn: ArrayLike<number>;
  /** First and last end, inclusive, that a row passes; the drawdown means nothing beyond them. */
  readonly rowFirst: ArrayLike<number>;
  readonly rowLast: ArrayLike<number>;
  /** 1 where the weft enters from the right. */
  readonly rowEntersRight: ArrayLike<number>;
  /** 1 where the weft turns round at the edge that it runs to, and is not cut there. */
  readonly rowTurns: ArrayLike<number>;
  /** 1 for an end on no shaft, which the weaver passes by hand: a floating selvedge. */
  readonly endFloating?: ArrayLike<number>;
  /** Where threads lie in the finished cloth, ascending. */
  readonly endXMm: ArrayLike<number>;
  readonly rowYMm: ArrayLike<number>;
  /** Of the cloth on the loom, for the sett. */
  readonly onLoom: { readonly widthMm: Millimetres; readonly lengthMm: Millimetres };
  /** Length of each end over the length of cloth that it weaves; left out where it is not known. */
  readonly endLengthFactor?: ArrayLike<number>;
}

/** Crossings, rows and ends from 0, inclusive. */
export interface Place {
  readonly fromRow: number;
  readonly toRow: number;
  readonly fromEnd: number;
  readonly toEnd: number;
}

export type Side = 'face' | 'back';

interface FindingBase {
  /** mistake: it will not hold or will not wear. look: it may be meant. told: a figure to know. */
  readonly weight: 'mistake' | 'look' | 'told';
  /** The side on which it shows; undefined where it shows on both. */
  readonly side?: Side;
  /** Where, the worst first; not more than `MOST_PLACES` of them. */
  readonly places: readonly Place[];
  /** How many there are in all. */
  readonly count: number;
}

export type Finding = FindingBase &
  (
    | {
        readonly kind: 'longFloat';
        readonly system: 'warp' | 'weft';
        readonly longestMm: number;
        readonly threads: number;
      }
    | { readonly kind: 'pileFloat'; readonly system: 'warp' | 'weft'; readonly threads: number }
    | { readonly kind: 'layers'; readonly parts: number; readonly ends: number; readonly picks: number }
    | { readonly kind: 'comesAway'; readonly ends: number; readonly picks: number }
    | { readonly kind: 'neverInterlaces'; readonly system: 'warp' | 'weft' }
    | { readonly kind: 'joinsLayers'; readonly system: 'warp' | 'weft' }
    | { readonly kind: 'crowdedFold'; readonly edge: 'left' | 'right'; readonly timesAsClose: number }
    | {
        readonly kind: 'selvedge';
        readonly edge: 'left' | 'right';
        /** Longest that the outermost end goes without being caught. */
        readonly uncaughtRows: number;
        /** What cures it: these yarns begun from the other side, or an end on no shaft at this edge. */
        readonly cure: { readonly startOther: readonly number[] } | 'floatingSelvedge';
      }
    | { readonly kind: 'secondBeam'; readonly slackMmPerM: number; readonly ends: number }
    | {
        readonly kind: 'brokenOrder';
        readonly system: 'warp' | 'weft';
        readonly of: 'colours' | 'threading';
        readonly what: 'missing' | 'extra' | 'other';
        /** Threads to a repeat; undefined where it is a mirror that is broken. */
        readonly repeat?: number;
        /** Of a mirror over part of the threads, the first and the last of them, from 0. */
        readonly within?: readonly [from: number, to: number];
      }
    | { readonly kind: 'loneThread'; readonly system: 'warp' | 'weft'; readonly of: 'colours' | 'threading' }
    | { readonly kind: 'sett'; readonly system: 'warp' | 'weft'; readonly shareOfMaximum: number }
  );

export const MOST_PLACES = 60;

/** @throws Error where lists do not run alongside the drawdown: a mistake of the caller. */
export function assertAlongside(cloth: CheckedCloth): void {
  const { rows, ends } = cloth.drawdown;
  const perRow = [cloth.rowYarn, cloth.rowFirst, cloth.rowLast, cloth.rowEntersRight, cloth.rowTurns, cloth.rowYMm];
  const perEnd = [cloth.endYarn, cloth.endXMm];
  if (perRow.every((list) => list.length === rows) && perEnd.every((list) => list.length === ends)) return;
  throw new Error(`Lists of the cloth to be checked do not have its ${rows} rows and ${ends} ends.`);
}
