import { hexFromLinear, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import { type ColourRepeat, meanOfRepeat } from './colourRepeat.ts';
import type { YarnRecord } from './yarnRecord.ts';
import type { ColourShare, StripPrint } from './yarnSurface.ts';

/** How a yarn is coloured: all one, ply by ply, of fibres mixed before spinning, changing along it, or printed on its face. */
export type YarnColours =
  | { readonly of: 'one'; readonly coneColour: string }
  | { readonly of: 'plies'; readonly plyColours: readonly string[] }
  | { readonly of: 'fibres'; readonly blend: readonly ColourShare[] }
  | { readonly of: 'length'; readonly colourRepeat: ColourRepeat }
  | { readonly of: 'print'; readonly print: StripPrint };

type Coloured = Pick<YarnRecord, 'coneColour' | 'plyColours' | 'blend' | 'colourRepeat' | 'print'>;

export function coloursOfYarn({ coneColour, plyColours, blend, colourRepeat, print }: Coloured): YarnColours {
  if (plyColours) return { of: 'plies', plyColours };
  if (blend) return { of: 'fibres', blend };
  if (colourRepeat) return { of: 'length', colourRepeat };
  if (print) return { of: 'print', print };
  return { of: 'one', coneColour };
}

/** The colour of each ply: those given, in turn, until every ply has one. */
export function colourOfEachPly(plyColours: readonly string[], plies: number): readonly string[] {
  return Array.from({ length: plies }, (_, k) => plyColours[k % plyColours.length]);
}

/**
 * The colour of its cone, #rrggbb: seen from where its colours cannot be told apart, the mean of their light by what each covers.
 * @throws RangeError where there is no colour, or one is no code
 */
export function coneOfColours(colours: YarnColours, plies: number): string {
  if (colours.of === 'one') return colours.coneColour;
  if (colours.of === 'length') return hexFromLinear(meanOfRepeat(colours.colourRepeat));
  if (colours.of === 'plies')
    return hexFromLinear(meanLinear(colourOfEachPly(colours.plyColours, plies).map(linearFromHex)));
  // A print by what each colour covers of the face: that lies uppermost on the cone.
  const shares = colours.of === 'print' ? colours.print.colours : colours.blend;
  return hexFromLinear(
    meanLinear(
      shares.map(({ colour }) => linearFromHex(colour)),
      shares.map(({ share }) => share),
    ),
  );
}

/** What provenance says of colours that a designer gave. */
export const chosenByYou = 'chosen by you';

/**
 * The yarn so coloured in place of how it was; the colours it had in another way go.
 * @param from what provenance says of a single colour
 */
export function withColours<Card extends YarnRecord>(card: Card, colours: YarnColours, from = chosenByYou): Card {
  const { plyColours: _plies, blend: _blend, colourRepeat: _repeat, print: _print, ...rest } = card;
  const { of, ...field } = colours;
  const {
    plyColours: _fromPlies,
    blend: _fromBlend,
    colourRepeat: _fromRepeat,
    print: _fromPrint,
    ...provenance
  } = card.provenance ?? {};
  const several = of === 'one' ? {} : { [Object.keys(field)[0]]: chosenByYou };
  const coloured: YarnRecord = {
    ...rest,
    coneColour: coneOfColours(colours, card.plies),
    ...field,
    provenance: {
      ...provenance,
      ...several,
      coneColour: of === 'one' ? from : 'computed (mean of its colours)',
    },
  };
  return coloured as Card;
}
