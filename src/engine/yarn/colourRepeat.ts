import { type LinearRgb, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { Millimetres } from '#engine/units/units.ts';

/** A colour and where along the repeat it begins; it lasts to the next stop. */
export interface ColourStop {
  readonly atMm: Millimetres;
  /** '#rrggbb', as on a cone of that colour alone. */
  readonly colour: string;
}

/** Colours that come again along a yarn: space-dyed and variegated yarns. */
export interface ColourRepeat {
  readonly lengthMm: Millimetres;
  /** Where in the repeat the yarn begins as it is first laid in. */
  readonly startMm: Millimetres;
  /** In order, the first at 0 or later; before it the last one's colour lasts on from the repeat before. */
  readonly stops: readonly ColourStop[];
  /** How far a colour bleeds into the next, either way; left out, as of hanks that dye was poured on. */
  readonly bleedMm?: Millimetres;
}

/** One colour over part of a length, shares of that length. */
export interface ColourRun {
  readonly from: number;
  readonly to: number;
  readonly colour: string;
}

/** More runs than this in one pick are finer than any ribbon shows. */
const MOST_RUNS = 400;

function wrapped(repeat: ColourRepeat, alongMm: Millimetres): Millimetres {
  const at = (repeat.startMm + alongMm) % repeat.lengthMm;
  return at < 0 ? at + repeat.lengthMm : at;
}

function stopAt({ stops }: ColourRepeat, atMm: Millimetres): number {
  let found = stops.length - 1;
  for (let k = 0; k < stops.length && stops[k].atMm <= atMm; k++) found = k;
  return found;
}

/** The colour of the yarn so far along it, mm from where it was first laid in. */
export function colourAlong(repeat: ColourRepeat, alongMm: Millimetres): string {
  return repeat.stops[stopAt(repeat, wrapped(repeat, alongMm))].colour;
}

/** The colours of a length of yarn that begins so far along it, in order; neighbours differ. Its mean where too fine. */
export function colourRuns(repeat: ColourRepeat, fromMm: Millimetres, lengthMm: Millimetres): ColourRun[] {
  const { stops } = repeat;
  const runs: { from: number; to: number; colour: string }[] = [];
  let at = wrapped(repeat, fromMm);
  let k = stopAt(repeat, at);
  for (let done = 0; done < lengthMm && runs.length <= MOST_RUNS; ) {
    const next = (k + 1) % stops.length;
    let stepMm = stops[next].atMm - at;
    if (stepMm <= 0) stepMm += repeat.lengthMm;
    const to = Math.min(lengthMm, done + stepMm);
    const last = runs.at(-1);
    if (last?.colour === stops[k].colour) last.to = to / lengthMm;
    else runs.push({ from: done / lengthMm, to: to / lengthMm, colour: stops[k].colour });
    done += stepMm;
    at = stops[next].atMm;
    k = next;
  }
  return runs;
}

/** Mean light of the whole repeat: what it is from afar where nothing pools. */
export function meanOfRepeat({ lengthMm, stops }: ColourRepeat): LinearRgb {
  const lengths = stops.map((stop, k) => {
    const next = stops[(k + 1) % stops.length].atMm - stop.atMm;
    return next > 0 ? next : next + lengthMm;
  });
  return meanLinear(
    stops.map(({ colour }) => linearFromHex(colour)),
    lengths,
  );
}

/**
 * How far the colours have moved on when the shuttle comes back to the same side: the remainder of two picks' length in
 * the repeat, as a share of it, −0.5 .. 0.5. At 0 each pick lies in colour over the last but one: they pool.
 */
export function poolingDrift({ lengthMm }: Pick<ColourRepeat, 'lengthMm'>, pickMm: Millimetres): number {
  const pairs = (2 * pickMm) / lengthMm;
  return pairs - Math.round(pairs);
}
