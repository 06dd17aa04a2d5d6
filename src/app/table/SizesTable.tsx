import { type LengthSystem, quantity, quantityRange } from '#app/words/numbers.ts';
import { STATE_WORDS } from '#app/words/stateWords.ts';
import type { ClothSizes } from '#engine/cloth/states/clothSizes.ts';
import type { Reading } from '#engine/units/reading.ts';

export interface SizesTableProps {
  readonly sizes: ClothSizes;
  readonly system: LengthSystem;
}

/** Widths from the reed to the finish, lengths beside them; guesses with their ranges. */
export function SizesTable({ sizes, system }: SizesTableProps) {
  const rows: readonly (readonly [string, Reading, Reading | undefined])[] = [
    ['in the reed', exact(sizes.reedWidthMm), undefined],
    [STATE_WORDS.onLoom, sizes.fellWidthMm, sizes.onLoomLengthMm],
    [STATE_WORDS.offLoom, sizes.offLoomWidthMm, sizes.offLoomLengthMm],
    [STATE_WORDS.finished, sizes.finishedWidthMm, sizes.finishedLengthMm],
  ];
  const { unit } = quantity(sizes.reedWidthMm, 'length', system);
  return (
    <table className="cover sizes">
      <caption>Width and length, {unit}</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">wide</th>
          <th scope="col">long</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([name, wide, long]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <Size reading={wide} system={system} />
            {long ? <Size reading={long} system={system} /> : <td />}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const exact = (value: number): Reading => ({ value, low: value, high: value });

function Size({ reading, system }: { readonly reading: Reading; readonly system: LengthSystem }) {
  const { text } = quantity(reading.value, 'length', system);
  const range = quantityRange(reading.low, reading.high, 'length', system);
  const guess = range.text !== text;
  return (
    <td>
      <span className="figure">{guess ? `≈ ${text}` : text}</span>
      {guess && (
        <span className="range">
          <span className="out-of-sight">between </span>
          {range.text}
        </span>
      )}
    </td>
  );
}
