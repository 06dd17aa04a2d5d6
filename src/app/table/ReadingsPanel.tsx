import { type LengthSystem, type Quantity, type QuantityKind, quantity, quantityRange } from '#app/words/numbers.ts';
import { type Dialect, word } from '#app/words/words.ts';
import type { Cover } from '#engine/cloth/forecast/cover.ts';
import type { Reading, Readings } from '#engine/cloth/forecast/readings.ts';
import { BeatField } from './BeatField.tsx';

export interface ReadingsPanelProps {
  readonly readings: Readings | undefined;
  readonly system: LengthSystem;
  readonly dialect: Dialect;
  /** What can be woven but is seldom meant, in words. */
  readonly remarks: readonly string[];
  /** True while a newer forecast is on its way. */
  readonly stale: boolean;
}

/** What the forecast says of the cloth. A guess stands with its range below it. */
export function ReadingsPanel({ readings, system, dialect, remarks, stale }: ReadingsPanelProps) {
  return (
    <section className="readings" aria-label="Readings">
      <h2>Readings</h2>
      <BeatField />
      {readings ? (
        <div className={stale ? 'stale' : undefined}>
          <dl>
            <Guess name="Picks" reading={readings.picksPerCm} kind="perLength" system={system} />
            <Sure name="Ends" value={readings.endsPerCm} kind="perLength" system={system} />
            <Sure name="Width" value={readings.widthMm} kind="length" system={system} />
            <Guess name="Length" reading={readings.lengthMm} kind="length" system={system} />
            <Guess name="Thickness" reading={readings.thicknessMm} kind="thin" system={system} />
            <Guess name="Weight" reading={readings.weightGPerM2} kind="areaWeight" system={system} />
            <Sure name="Warp take-up" value={readings.warpTakeUp} kind="share" system={system} />
            <Sure name={`${word('Weft', dialect)} take-up`} value={readings.weftTakeUp} kind="share" system={system} />
          </dl>
          <CoverTable face={readings.face} back={readings.back} dialect={dialect} />
        </div>
      ) : (
        <p className="soft">Not yet computed.</p>
      )}
      {remarks.length > 0 && (
        <ul className="remarks" aria-label="Remarks on the draft">
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

interface RowProps {
  readonly name: string;
  readonly kind: QuantityKind;
  readonly system: LengthSystem;
}

function Sure({ name, value, kind, system }: RowProps & { readonly value: number }) {
  return <Row name={name} shown={quantity(value, kind, system)} />;
}

function Guess({ name, reading, kind, system }: RowProps & { readonly reading: Reading }) {
  const range = quantityRange(reading.low, reading.high, kind, system);
  const shown = quantity(reading.value, kind, system);
  return <Row name={name} shown={shown} range={range.text === shown.text ? undefined : range} />;
}

interface ShownProps {
  readonly name: string;
  readonly shown: Quantity;
  readonly range?: Quantity;
}

function Row({ name, shown, range }: ShownProps) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <span>
          <span className="figure">{range ? `≈ ${shown.text}` : shown.text}</span>{' '}
          <span className="unit">{shown.unit}</span>
        </span>
        {range && (
          <span className="range">
            <span className="out-of-sight">between </span>
            {range.text}
          </span>
        )}
      </dd>
    </div>
  );
}

interface CoverTableProps {
  readonly face: Cover;
  readonly back: Cover;
  readonly dialect: Dialect;
}

function CoverTable({ face, back, dialect }: CoverTableProps) {
  const share = (value: number) => quantity(value, 'share', 'cm');
  return (
    <table className="cover">
      <caption>Cover, seen square on</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">face</th>
          <th scope="col">back</th>
        </tr>
      </thead>
      <tbody>
        {(['warp', 'weft', 'open'] as const).map((part) => (
          <tr key={part}>
            <th scope="row">{part === 'weft' ? word('weft', dialect) : part}</th>
            <td>{`${share(face[part]).text} %`}</td>
            <td>{`${share(back[part]).text} %`}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
