import type { Millimetres, PerCentimetre } from '#engine/units/units.ts';

/**
 * Share of a dent that its wire takes where nothing is said: reeds for hand looms leave seven tenths of their width open
 * (common practice; 60 to 75 %).
 */
export const USUAL_WIRE_SHARE = 0.3;

export interface Reed {
  readonly dentsPerCm: PerCentimetre;
  /** Ends in each dent from the left, begun again until the ends run out; 0 leaves a dent empty. At least one above 0. */
  readonly endsPerDent: readonly number[];
  /** Share of a dent that its wire takes, 0 .. below 1. */
  readonly wireShare: number;
}

export interface DentedEnds {
  /** Dent of each end, 0 leftmost; ascending. */
  readonly dentOf: Uint32Array;
  /** Ends that each dent takes, from the first to the last that holds one, empty ones between them too. */
  readonly endsPerDent: Uint32Array;
  /** Of those dents together. */
  readonly widthMm: Millimetres;
  /** Centre of each end between the wires, mm from the left edge of the first dent; ascending. */
  readonly xMm: Float64Array;
}

/**
 * Ends drawn through a reed: those of one dent lie evenly between its wires. Where the ends run out within the last dent,
 * its places to the right stay free. Empty dents before the first end are not counted: the cloth begins at the first that holds one.
 * @throws RangeError where every dent of the order is empty
 */
export function dentEnds({ dentsPerCm, endsPerDent, wireShare }: Reed, ends: number): DentedEnds {
  const turn = endsPerDent.reduce((sum, count) => sum + count, 0);
  if (!(turn > 0)) throw new RangeError(`ends per dent ${endsPerDent.join(' ')}: put an end in at least one dent`);
  const dentMm = 10 / dentsPerCm;
  const dentOf = new Uint32Array(ends);
  const xMm = new Float64Array(ends);
  const counts: number[] = [];
  const skipped = endsPerDent.findIndex((count) => count > 0);
  let dent = 0;
  for (let end = 0, place = skipped; end < ends; place++, dent++) {
    const count = endsPerDent[place % endsPerDent.length];
    counts.push(count);
    for (let k = 0; k < count && end < ends; k++, end++) {
      dentOf[end] = dent;
      xMm[end] = (dent + wireShare / 2 + ((1 - wireShare) * (k + 0.5)) / count) * dentMm;
    }
  }
  return { dentOf, endsPerDent: Uint32Array.from(counts), widthMm: counts.length * dentMm, xMm };
}

/** Reed with so many dents that a porter of `splits` each lies in `widthIn` inches: dents per inch. */
export function dentsPerInchOfPorters(porters: number, splits: number, widthIn: number): number {
  return (porters * splits) / widthIn;
}
