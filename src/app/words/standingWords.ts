import type { EdgeTails } from '#engine/cloth/hold/edgeTails.ts';
import type { HeldWeft } from '#engine/cloth/hold/holdOfWefts.ts';
import type { Ripple } from '#engine/cloth/hold/ripple.ts';
import type { Curl, Curls, Pucker } from '#engine/cloth/hold/tendencies.ts';
import type { Collapse, Deflection } from '#engine/cloth/hold/uncertain.ts';
import { type BehindCloth, TIED_EVERY_MM } from '#engine/cloth/placed/backFloats.ts';
import type { Join } from '#engine/cloth/placed/joins.ts';
import type { Crowding } from '#engine/cloth/reed/crowding.ts';
import type { Relief } from '#engine/cloth/relief/layRelief.ts';
import { excessOfHeight } from '#engine/cloth/relief/pocketLaw.ts';
import type { Reading } from '#engine/units/reading.ts';
import { type LengthSystem, quantity, quantityRange, slackText, thinText } from './numbers.ts';

const length = thinText;

/** To two places: what is known to a range is not told to a hundredth. */
const about = (mm: number): number => Number(mm.toPrecision(2));

const between = ({ low, high }: Reading, system: LengthSystem): string => {
  const { text, unit } = quantityRange(about(low), about(high), 'thin', system);
  return `${text} ${unit}`;
};

/** How far pockets stand, or what would make them stand. */
export function reliefWords(relief: Relief, smallestMm: number | undefined, system: LengthSystem): string[] {
  const { heightMm, pockets, spanMm, side, waddingMm, layerMm } = relief;
  if (pockets === 0) {
    const longer = excessOfHeight(spanMm, layerMm);
    return [
      `Its layers change places within fewer than eight threads: too narrow to stand, so it is drawn flat. Even eight threads (${length(about(spanMm), system)}) would need one layer ${(100 * longer).toFixed(0)} % longer than the other to stand ${length(about(layerMm), system)} high. Make pockets wider.`,
    ];
  }
  const stand = `${pockets === 1 ? 'One pocket' : `${pockets} pockets`} to the repeat, ${length(about(spanMm), system)} wide`;
  const out: string[] = [];
  if (heightMm.value > 0) {
    out.push(
      `${stand}: the highest stands about ${length(about(heightMm.value), system)} on the ${side} (${between(heightMm, system)}).`,
    );
    if (smallestMm !== undefined)
      out.push(`Pockets narrower than about ${length(about(smallestMm), system)} will not read.`);
  } else if (waddingMm > 0) {
    out.push(`${stand}, filled ${length(about(waddingMm), system)} thick: half of it on either side.`);
  } else {
    out.push(
      `${stand}, and flat: neither layer is longer than the other. Add a back weft that shrinks or is laid stretched, wadding picks between the layers, or let one layer's ends off slack from a second beam.`,
    );
  }
  return out;
}

const verdicts: Readonly<
  Record<Exclude<HeldWeft['verdict'], 'held'>, (held: HeldWeft, system: LengthSystem) => string>
> = {
  slides: ({ holdsOverMm }, system) =>
    `slides at a raw edge: it takes ${length(about(holdsOverMm.value), system)} of cloth (${between(holdsOverMm, system)}) to hold it. Bind cut edges before you cut.`,
  fallsOut: ({ holdsOverMm }, system) =>
    `can be drawn out of its whole row: ${Number.isFinite(holdsOverMm.value) ? `only ${length(about(holdsOverMm.value), system)} of cloth would hold it` : 'nothing bends it'}. Tie it more often, or stitch its ends.`,
  worms: ({ floatEnds }) => `floats over ${floatEnds} ends: pile works up into loops beyond two. Tie it more often.`,
  drifts: ({ floatMm }, system) =>
    `is loose fibre that floats ${length(about(floatMm), system)}: it pulls apart there until it is felted. Tie it closer.`,
};

export interface HoldLine {
  readonly yarn: number;
  readonly row: number;
  readonly words: string;
}

/** Wefts that do not hold by themselves, the worst first. */
export function holdLines(hold: readonly HeldWeft[], system: LengthSystem): HoldLine[] {
  return hold
    .flatMap((held) => {
      if (held.verdict === 'held') return [];
      return [
        { yarn: held.yarn, row: held.row, words: verdicts[held.verdict](held, system), mm: held.holdsOverMm.value },
      ];
    })
    .sort((a, b) => b.mm - a.mm)
    .map(({ yarn, row, words }) => ({ yarn, row, words }));
}

export function curlWords({ along, across }: Curls, system: LengthSystem): string[] {
  const say = (curl: Curl | undefined, from: string) =>
    curl
      ? [
          `May roll to the ${curl.to} from its ${from}, round about ${length(about(curl.radiusMm.value), system)} (${between(curl.radiusMm, system)} radius).`,
        ]
      : [];
  const out = [...say(along, 'first and last picks'), ...say(across, 'selvedges')];
  return out.length > 0
    ? [...out, 'A hem, pressing or weaving both sides alike keeps it flat. Sample first.']
    : ['Lies flat: both sides pull alike.'];
}

/** What tails add to the edges; `pick` from 1. */
export function tailWords({ extraMm, share }: EdgeTails, pick: number, system: LengthSystem): string {
  const often = share < 0.5 ? `in ${Math.max(1, Math.round(100 * share))} % of the picks` : 'along most of it';
  return `Tails make the edges up to ${length(about(extraMm.value), system)} thicker (${between(extraMm, system)}), ${often}, most at pick ${pick}.`;
}

/** Longer slits are sewn up (common practice: about 2 cm). */
const LONGEST_OPEN_SLIT_MM = 20;

/** How wefts meet at a join placed by hand; `pickOf` counts from 1. */
export function joinWords(
  { kind, leftEnd, rightEnd, firstRow, lastRow, heightMm, openMm, ridgeMm }: Join,
  pickOf: (row: number) => number,
  system: LengthSystem,
): string {
  const where = `between ends ${leftEnd + 1} and ${rightEnd + 1}, picks ${pickOf(firstRow)}–${pickOf(lastRow)}`;
  const ridge =
    ridgeMm && ridgeMm.high > 0 ? `${length(about(ridgeMm.value), system)} (${between(ridgeMm, system)})` : '';
  if (kind === 'slit') {
    const open = openMm ? `, ${between(openMm, system)} wide` : '';
    const sew = heightMm > LONGEST_OPEN_SLIT_MM ? ' Sew it, or let the wefts interlock or dovetail.' : '';
    return `A slit ${where}: open over ${length(heightMm, system)}${open}; no weft crosses it.${sew}`;
  }
  if (kind === 'dovetail')
    return `Dovetailed round end ${leftEnd + 1}, picks ${pickOf(firstRow)}–${pickOf(lastRow)}: closed, about ${ridge} thicker there.`;
  return `Interlocked ${where}: closed and held${ridge === '' ? '' : `, with a ridge of about ${ridge} on the back`}.`;
}

/** What goes on behind the cloth; `pick` from 1. */
export function behindWords(
  { floats, longestMm, tied, yarnMm, extraMm }: BehindCloth,
  pick: number,
  system: LengthSystem,
): string {
  const snags = longestMm > TIED_EVERY_MM ? ' It will catch: tie it behind, or cut it.' : '';
  const longest = `${tied ? 'tied, the longest loose way' : 'the longest'} ${length(about(longestMm), system)} from pick ${pick}`;
  return `Behind the cloth ${floats === 1 ? 'one float' : `${floats} floats`}, ${longest}: ${length(about(yarnMm), system)} of yarn, and ${length(about(extraMm), system)} thicker where they lie.${snags}`;
}

/** What threads drawn out of the finished cloth keep of their waves. */
export function setWords({ warp, weft }: { readonly warp: number; readonly weft: number }): string {
  const percent = (share: number) => (share < 0.001 ? 'under 0.1 %' : `${(100 * share).toFixed(1)} %`);
  return `Set: an end drawn out stays wavy by about ${percent(warp)} of its length, a weft by ${percent(weft)} (within a factor of four).`;
}

/** What slack stripes do; how they lie in waves where that is known. */
export function puckerWords(
  { slackMmPerM, firstEnd, lastEnd }: Pucker,
  ripple: Ripple | undefined,
  system: LengthSystem,
): string {
  const slack = slackText(slackMmPerM.value, system);
  const [low, high] = [slackMmPerM.low, slackMmPerM.high].map((value) => slackText(value, system).text);
  const lies = ripple
    ? `ripple, a wave about every ${length(about(ripple.wavelengthMm), system)}, ${length(about(ripple.heightMm.value), system)} high (${between(ripple.heightMm, system)})`
    : 'pucker off the loom';
  return `Ends ${firstEnd + 1}–${lastEnd + 1} come slack by up to ${slack.text} ${slack.unit} to the ${slack.of} (${low}–${high}) beside the others: they ${lies}, or want a beam of their own. Sample first.`;
}

/** What is uncertain beyond the ranges, and what to sample. */
export function deflectionWords({ endsMm, picksMm }: Deflection, system: LengthSystem): string {
  const by = (mm: Reading) => `${length(about(mm.value), system)} (${between(mm, system)})`;
  return `Threads curve: ends by about ${by(endsMm)}, picks by ${by(picksMm)}. How far they slide hangs on beat and wash, and the cloth may come out narrower and shorter than its range. Sample: two repeats at this beat and two at a looser one, measured before the wash and after it.`;
}

/** Yarns that draw the cloth together by themselves, and what to sample. */
export function collapseWords({ along, across, why }: Collapse, names: string): string {
  const way = along && across ? 'both ways' : along ? 'along the warp' : 'across';
  return why === 'twist'
    ? `${names}: twisted so hard that it curls up once the cloth is wet. Cloth may draw in by a third to a half ${way}, crinkled, which no range here holds. Sample: a hand's length over the full width, in hot water without tension; try the yarn with ends or picks of the other twist.`
    : `${names}: laid stretched, it draws the cloth in ${way} until the other threads jam or pucker; the range is of an even pull. Sample: a hand's length at the stretch you mean to lay it with, an hour off the loom and washed.`;
}

/** What becomes of ends that are set closer than they are wide. */
export function crowdingWords(
  { firstEnd, lastEnd, share, sideBySidePerCm, how }: Crowding,
  system: LengthSystem,
): string {
  const { text, unit } = quantity(sideBySidePerCm, 'perLength', system);
  const room = `Ends ${firstEnd + 1}–${lastEnd + 1} have ${Math.round(100 * share)} % of the room that they need side by side (about ${text}${unit})`;
  return how === 'pressed'
    ? `${room}: they press one another narrow and tall, hide the weft and cling in the shed. Sley wider, or mean a warp face.`
    : `${room}: more than they give. They ride over one another, the shed will hardly clear, and the picture shows them run together. Sley wider.`;
}
