import {
  type LengthSystem,
  type Quantity,
  type QuantityKind,
  quantity,
  quantityRange,
  roughQuantity,
} from '#app/words/numbers.ts';
import { type Dialect, word } from '#app/words/words.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { type Reading, shareAround } from '#engine/units/reading.ts';
import { BeatField } from './BeatField.tsx';
import { KeptTable } from './KeptTable.tsx';
import { OutlineDrawing } from './OutlineDrawing.tsx';
import { SeenReadings } from './SeenReadings.tsx';
import { SizesTable } from './SizesTable.tsx';
import { StandingReadings } from './StandingReadings.tsx';
import { StateTools } from './StateTools.tsx';

export interface ReadingsPanelProps {
  readonly readings: Readings | undefined;
  readonly system: LengthSystem;
  readonly dialect: Dialect;
  /** What can be woven but is seldom meant, in words. */
  readonly remarks: readonly string[];
  /** True while a newer forecast is on its way: figures are then estimates, and shown as such. */
  readonly stale: boolean;
  /** Versions are drawn beside the sample: only what differs is told. */
  readonly comparing: boolean;
}

/** What the forecast says of the cloth. A guess stands with its range below it. */
export function ReadingsPanel({ readings, system, dialect, remarks, stale, comparing }: ReadingsPanelProps) {
  const shown = { system, rough: stale };
  return (
    <section
      className="readings"
      aria-label="Readings"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable to be scrolled by keys
      tabIndex={0}
    >
      <h2>
        Readings
        {stale && readings && <span className="soft">, estimates as yet</span>}
      </h2>
      <StateTools />
      <BeatField />
      {comparing ? (
        <KeptTable />
      ) : readings ? (
        <div className={stale ? 'stale' : undefined} aria-busy={stale}>
          <dl>
            <Guess name="Picks" reading={readings.picksPerCm} kind="perLength" {...shown} />
            <Guess name="Ends" reading={readings.endsPerCm} kind="perLength" {...shown} />
            <Guess name="Width" reading={readings.widthMm} kind="length" {...shown} />
            <Guess name="Length" reading={readings.lengthMm} kind="length" {...shown} />
            <Guess name="Thickness" reading={readings.thicknessMm} kind="thin" {...shown} />
            <Guess name="Weight" reading={readings.weightGPerM2} kind="areaWeight" {...shown} />
            <Guess name="Stiff along" reading={readings.stiffnessNmm.along} kind="stiffness" {...shown} />
            <Guess name="Stiff across" reading={readings.stiffnessNmm.across} kind="stiffness" {...shown} />
            <Guess name="Warp take-up" reading={readings.warpTakeUp} kind="share" {...shown} />
            <Guess name={`${word('Weft', dialect)} take-up`} reading={readings.weftTakeUp} kind="share" {...shown} />
          </dl>
          {readings.sizes && <SizesTable sizes={readings.sizes} system={system} />}
          {readings.outlines && <OutlineDrawing outlines={readings.outlines} system={system} />}
          <StandingReadings readings={readings} />
          <CoverTable readings={readings} dialect={dialect} rough={stale} />
          <SeenReadings readings={readings} />
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
  readonly rough: boolean;
}

function Guess({ name, reading, kind, system, rough }: RowProps & { readonly reading: Reading }) {
  const range = quantityRange(reading.low, reading.high, kind, system);
  const shown = quantity(reading.value, kind, system);
  const wide = range.text !== shown.text;
  return (
    <Row
      name={name}
      shown={rough ? roughQuantity(reading.value, kind, system) : shown}
      guess={rough || wide}
      range={wide && !rough ? range : undefined}
    />
  );
}

interface ShownProps {
  readonly name: string;
  readonly shown: Quantity;
  readonly guess: boolean;
  readonly range?: Quantity;
}

function Row({ name, shown, guess, range }: ShownProps) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <span>
          <span className="figure">{guess ? `≈ ${shown.text}` : shown.text}</span>{' '}
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
  readonly readings: Readings;
  readonly dialect: Dialect;
  readonly rough: boolean;
}

function CoverTable({ readings: { face, back, coverDoubt }, dialect, rough }: CoverTableProps) {
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
            {[face, back].map((side, k) => (
              <Share key={k === 0 ? 'face' : 'back'} value={side[part]} points={coverDoubt?.[part]} rough={rough} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

interface ShareProps {
  readonly value: number;
  readonly points: number | undefined;
  readonly rough: boolean;
}

function Share({ value, points, rough }: ShareProps) {
  const { low, high } = shareAround(value, points ?? 0);
  const { text } = quantity(value, 'share', 'cm');
  const range = quantityRange(low, high, 'share', 'cm');
  const guess = range.text !== text;
  return (
    <td>
      {`${rough || guess ? '≈ ' : ''}${text} %`}
      {guess && !rough && (
        <span className="range">
          <span className="out-of-sight">between </span>
          {range.text}
        </span>
      )}
    </td>
  );
}
