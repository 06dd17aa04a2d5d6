import { formatNumber, type LengthSystem, slackText, thinText } from '#app/words/numbers.ts';
import { capital, counted, type Dialect, word } from '#app/words/words.ts';
import type { Finding, Place } from '#engine/weave/checks/checkTypes.ts';

export interface WordsFor {
  readonly dialect: Dialect;
  readonly system: LengthSystem;
  readonly rowPick: ArrayLike<number>;
  /** Yarns by index, by name. */
  readonly namesOf: readonly string[];
  readonly floatLimitMm: number | null;
}

const many = (count: number, one: string, others = `${one}s`) => counted(count, one, others, formatNumber);

/** A finding in a sentence or two: what it is, and what cures it. */
export function findingWords(finding: Finding, words: WordsFor): string {
  const { dialect, system } = words;
  const weft = word('weft', dialect);
  const thin = (mm: number) => thinText(mm, system);
  const threadsOf = (of: 'warp' | 'weft', count: number) => many(count, of === 'warp' ? 'end' : 'pick');
  const onSide = finding.side ? ` on the ${finding.side}` : '';
  switch (finding.kind) {
    case 'longFloat': {
      const name = finding.system === 'warp' ? 'warp' : weft;
      const over = finding.system === 'warp' ? 'pick' : 'end';
      const limit = words.floatLimitMm === null ? '' : `, against ${thin(words.floatLimitMm)}`;
      return `${capital(many(finding.count, `${name} float`))} too long${onSide}: up to ${thin(finding.longestMm)}, over ${many(finding.threads, over)}${limit}.`;
    }
    case 'pileFloat':
      return `${capital(many(finding.count, 'float'))} of pile yarn over ${finding.threads} threads${onSide}: it works out of floats over more than two.`;
    case 'layers':
      return `${capital(many(finding.parts, 'cloth'))} over one another, held together only where a ${weft} turns from one into the other. The uppermost has ${threadsOf('warp', finding.ends)} and ${threadsOf('weft', finding.picks)}.`;
    case 'comesAway':
      return `It does not hold as one cloth: ${threadsOf('warp', finding.ends)} and ${threadsOf('weft', finding.picks)} lift off.`;
    case 'neverInterlaces':
      return `${capital(threadsOf(finding.system, finding.count))} ${finding.count === 1 ? 'lies' : 'lie'} on one side from edge to edge: nothing holds ${finding.count === 1 ? 'it' : 'them'}.`;
    case 'joinsLayers':
      return `${capital(threadsOf(finding.system, finding.count))} ${finding.count === 1 ? 'joins' : 'join'} two layers that lie apart without ${finding.count === 1 ? 'it' : 'them'}. Planned stitching comes again; this does not.`;
    case 'crowdedFold':
      return `At the fold on the ${finding.edge}, opened out, ends lie ${formatNumber(finding.timesAsClose, 1)} times as close as in the layers: leave out an end there.`;
    case 'selvedge':
      return `The ${finding.edge} edge end is missed over ${many(finding.uncaughtRows, 'pick')}. ${
        finding.cure === 'floatingSelvedge'
          ? 'No other start cures it: give that edge an end on no shaft.'
          : `Begin ${startWords(finding.cure.startOther, words)} from the other side.`
      }`;
    case 'secondBeam': {
      const { text, unit, of } = slackText(finding.slackMmPerM, system);
      return `${capital(threadsOf('warp', finding.ends))} take up ${text} ${unit} less in every ${of} than others: put them on a second beam.`;
    }
    case 'brokenOrder':
      return brokenWords(finding, words);
    case 'loneThread':
      return `${capital(threadsOf(finding.system, finding.count))} ${finding.of === 'colours' ? 'of a yarn' : finding.system === 'warp' ? 'moving' : 'lifted'} like no other: meant so?`;
    case 'sett': {
      const percent = `${formatNumber(100 * finding.shareOfMaximum)} %`;
      const name = finding.system === 'warp' ? 'Warp' : word('Weft', dialect);
      const more =
        finding.shareOfMaximum > 1
          ? ' More than fits side by side: it packs over itself or cannot be beaten in.'
          : finding.shareOfMaximum < 0.5
            ? ' So open that threads slip.'
            : '';
      return `${name} at ${percent} of the closest sett for this weave.${more}`;
    }
  }
}

function startWords(yarns: readonly number[], { namesOf, dialect }: WordsFor): string {
  if (yarns.length > 1) return 'every shuttle';
  return namesOf[yarns[0]] ?? `the ${word('weft', dialect)}`;
}

function brokenWords(finding: Extract<Finding, { kind: 'brokenOrder' }>, { dialect }: WordsFor): string {
  const thread = finding.system === 'warp' ? 'end' : 'pick';
  const what = {
    missing: `one ${thread} is missing`,
    extra: `one ${thread} is too many`,
    other: `one ${thread} is another`,
  }[finding.what];
  const order =
    finding.of === 'colours'
      ? `${word('Colour', dialect).toLowerCase()} order`
      : finding.system === 'warp'
        ? 'threading'
        : 'order of lifts';
  const { repeat, within } = finding;
  const over = within ? ` over ${thread}s ${formatNumber(within[0] + 1)}–${formatNumber(within[1] + 1)}` : '';
  const broken = repeat === undefined ? `The mirror of the ${order}${over}` : `The ${order}, ${repeat} to a repeat,`;
  return `${broken} breaks once: ${what}.`;
}

/** "picks 12–14, end 5"; nothing where it is the whole cloth. */
export function placeWords(place: Place, rows: number, ends: number, rowPick: ArrayLike<number>): string {
  const run = (thing: string, from: number, to: number) =>
    from === to ? `${thing} ${formatNumber(from)}` : `${thing}s ${formatNumber(from)}–${formatNumber(to)}`;
  const parts: string[] = [];
  if (place.fromRow > 0 || place.toRow < rows - 1) {
    parts.push(run('pick', rowPick[place.fromRow] + 1, rowPick[place.toRow] + 1));
  }
  if (place.fromEnd > 0 || place.toEnd < ends - 1) parts.push(run('end', place.fromEnd + 1, place.toEnd + 1));
  return parts.join(', ');
}
