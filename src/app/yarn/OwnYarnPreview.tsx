import { shelfYarn } from '#app/model/shelfYarns.ts';
import { useTableState } from '#app/model/tableContext.ts';
import { WoundCard } from '#app/table/WoundCard.tsx';
import { type LengthSystem, thinText } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { CountSystem } from '#engine/units/countSystems.ts';
import { formatCount } from '#engine/units/formatCount.ts';
import { fibreNameOf } from '#engine/yarn/fibres.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { rangedWords, rangeWords } from './rangedWords.ts';

/** The count that the trade gives such yarns by. */
const systemOfFibre: Readonly<Record<string, CountSystem>> = { cotton: 'Ne', linen: 'linenLea' };
const gives = { none: 'does not give', low: 'gives a little', medium: 'gives', high: 'flattens easily' } as const;

/** What the readings make of the yarn so far. Guesses stand with their range. */
export function OwnYarnPreview({ card }: { readonly card: YarnCard | undefined }) {
  const spoken = useTableState((state) => state.preferences.lengthSystem);
  if (!card) {
    return (
      <div className="own-preview">
        <span className="wound-card" />
        <p className="soft">Weigh a length, or copy the count from a label, and the yarn appears here.</p>
      </div>
    );
  }
  const body = yarnBody(yarnFactsOf(card));
  const { ranges = {} } = card;
  const [scale, unit] = spoken === 'inch' ? [1 / 25.4, 'in'] : [1, 'mm'];
  // A float's width goes with the contact's, and so does its doubt.
  const opening = body.bodyWidthMm / body.contactWidthMm;
  const float =
    ranges.contactWidthMm && ([opening * ranges.contactWidthMm[0], opening * ranges.contactWidthMm[1]] as const);
  const lying: readonly [number, number] | undefined = ranges.freeWidthMm;
  const system = systemOfFibre[fibreNameOf(card.fibre) ?? ''] ?? 'Nm';
  const estimates = Object.values(card.provenance ?? {}).filter((from) => from.startsWith('estimate')).length;
  return (
    <div className="own-preview">
      <WoundCard yarn={shelfYarn(card)} />
      <dl>
        <div>
          <dt>Count</dt>
          <dd>{`${rangedWords(card.tex, ranges.tex)} tex; about ${formatCount(card.tex, card.plies, system, 2)}`}</dd>
        </div>
        {card.stripWidthMm !== undefined && (
          <div>
            <dt>Laid flat</dt>
            <dd>{`${rangedWords(card.stripWidthMm, ranges.stripWidthMm, scale)} ${unit}`}</dd>
          </div>
        )}
        <div>
          <dt>{lying ? 'Width, slack' : 'Width of a float'}</dt>
          <dd>{`${rangedWords(lying ? card.freeWidthMm! : body.bodyWidthMm, lying ?? float, scale)} ${unit}`}</dd>
        </div>
        {ranges.contactWidthMm && (
          <div>
            <dt>Where pressed</dt>
            <dd>{`${rangedWords(body.contactWidthMm, ranges.contactWidthMm, scale)} ${unit}`}</dd>
          </div>
        )}
        <div>
          <dt>Squeezed</dt>
          <dd>{gives[card.compressibility]}</dd>
        </div>
        <div>
          <dt>Bends</dt>
          <dd>{`≈ ${rangeWords(card.bendingNmm2)} N mm²`}</dd>
        </div>
      </dl>
      <p className="soft">{`${estimates} of its figures are estimates; each reading more makes one of them sure.`}</p>
    </div>
  );
}

/** The same in a line, for where there is no room for more. */
export function ownBrief(card: YarnCard, system: LengthSystem): string {
  const width = card.freeWidthMm ?? card.stripWidthMm ?? yarnBody(yarnFactsOf(card)).bodyWidthMm;
  return `${rangedWords(card.tex, card.ranges?.tex)} tex, about ${thinText(width, system)}`;
}
