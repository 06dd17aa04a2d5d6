import { NumberField } from '#app/after/NumberField.tsx';
import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import type { BeginningBeat } from '#document/beginBeat.ts';

/** Firmest beats from here on make a firm cloth (common practice). */
const FIRM = 0.85;

/** How many picks it is begun with, what beat that takes, and what these yarns take. */
export function BeginBeat(props: {
  readonly beat: BeginningBeat;
  /** In which it is begun, "plain weave". */
  readonly weave: string;
  onPicksPerCm(picksPerCm: number | undefined): void;
}) {
  const { loosestPerCm, firmestPerCm, endsPerCm, picksPerCm, firmness } = props.beat;
  const inches = useTableState((state) => state.preferences.lengthSystem === 'inch');
  const perUnit = inches ? 2.54 : 1;
  const unit = inches ? 'inch' : 'cm';
  const said = (perCm: number) => formatNumber(perCm * perUnit, 1);
  const jams = picksPerCm > firmestPerCm * 1.001;
  const slack = picksPerCm < loosestPerCm / 1.001;
  const balanced = endsPerCm >= loosestPerCm && endsPerCm <= firmestPerCm;
  return (
    <>
      <NumberField
        name={`Picks to the ${unit}`}
        value={Math.round(picksPerCm * perUnit * 10) / 10}
        least={0.2}
        most={400}
        step={0.5}
        onChange={(value) => props.onPicksPerCm(value && value / perUnit)}
      />
      <p className={jams || slack ? 'trouble' : 'soft'} role="status">
        {jams
          ? `More than the firmest beat gives: it begins with ${said(firmestPerCm)}. A thinner weft, or fewer ends, takes more; so does a weave that binds less, or in two layers.`
          : slack
            ? `Looser than picks stay by themselves: it begins with ${said(loosestPerCm)}.`
            : `A beat of ${formatNumber(100 * firmness)} % of the firmest${firmness >= FIRM ? ', a firm cloth' : ''}.`}{' '}
        {`In ${props.weave} these yarns take ${said(loosestPerCm)} picks to the ${unit}, beaten loosest, to ${said(firmestPerCm)}; `}
        {balanced
          ? `as many as ends, ${said(endsPerCm)}, make it balanced.`
          : `as many as ends, ${said(endsPerCm)}, lie beyond that: ${endsPerCm > firmestPerCm ? 'there will be more ends' : 'there will be fewer ends'} than picks.`}
      </p>
    </>
  );
}
