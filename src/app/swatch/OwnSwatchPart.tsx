import { useMemo } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { lengthText, mmPerTyped, typedUnit } from '#app/plan/planWords.ts';
import { formatNumber, gPerM2PerOzPerYd2, type LengthSystem, mmPerInch, quantity } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import type { Command } from '#document/commands/command.ts';
import { forgetSwatchBeat, keepSwatchBeat, setMeasured, setYarnShrinkage } from '#document/commands/weavingCommands.ts';
import { type OwnSwatch, ownSwatch, USUAL_COUNT_MM } from '#document/ownSwatch.ts';
import type { Measurement, Sample } from '#document/schema/sampleSchema.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';

type Stage = Measurement['stage'];

const stages: readonly (readonly [Stage, string])[] = [
  ['onLoom', 'on the loom'],
  ['offLoom', 'off it'],
  ['finished', 'finished'],
];

type Figure = Exclude<keyof Measurement, 'stage' | 'notes'>;

/** What was measured on the real swatch, stage by stage, and what it says. */
export function OwnSwatchPart() {
  const { samples, forecast, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const problem = useStore(forecast.state, (state) => state.resultCloth?.problem);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const swatch = useMemo(
    () => (problem && readings ? ownSwatch(sample, problem, readings) : undefined),
    [sample, problem, readings],
  );
  const act = (command: Command, words: string) => ui.getState().say(samples.dispatch(command)?.message ?? words);
  return (
    <>
      <fieldset className="own-swatch">
        <legend>Own swatch</legend>
        <MeasuredTable sample={sample} system={system} readings={readings} />
      </fieldset>
      <section className="swatch-says" aria-label="What the swatch says">
        <h3>What the swatch says</h3>
        {swatch ? (
          <Told sample={sample} swatch={swatch} system={system} act={act} />
        ) : (
          <p className="soft">Told once the cloth has been worked out.</p>
        )}
      </section>
    </>
  );
}

interface FigureRow {
  readonly key: Figure;
  readonly name: string;
  readonly unit: string;
  /** Of what is typed, in the document's unit. */
  readonly scale: number;
  readonly forecast?: (readings: Readings, stage: Stage, shown: Stage) => number | undefined;
}

const widthAt = (readings: Readings, stage: Stage) =>
  stage === 'onLoom' ? readingsOnLoom(readings).widthMm : readings.sizes?.[`${stage}WidthMm`].value;
const lengthAt = (readings: Readings, stage: Stage) =>
  stage === 'onLoom' ? readingsOnLoom(readings).lengthMm.value : readings.sizes?.[`${stage}LengthMm`].value;
const picksAt = (readings: Readings, stage: Stage) => {
  const lengthMm = lengthAt(readings, stage);
  return lengthMm && (readings.picksPerCm.value * readings.lengthMm.value) / lengthMm;
};
/** Read in the state that is shown alone. */
const shownAlone = (read: (readings: Readings) => number) => (readings: Readings, stage: Stage, shown: Stage) =>
  stage === shown ? read(readings) : undefined;

function rowsFor(system: LengthSystem): readonly FigureRow[] {
  const inches = system === 'inch';
  const length = { unit: typedUnit[system], scale: mmPerTyped[system] };
  const perLength = inches ? { unit: '/in', scale: 1 / 2.54 } : { unit: '/cm', scale: 1 };
  const thin = inches ? { unit: 'in', scale: mmPerInch } : { unit: 'mm', scale: 1 };
  const areaWeight = inches ? { unit: 'oz/yd²', scale: gPerM2PerOzPerYd2 } : { unit: 'g/m²', scale: 1 };
  return [
    { key: 'widthMm', name: 'Width', ...length, forecast: widthAt },
    { key: 'lengthMm', name: 'Length', ...length, forecast: lengthAt },
    { key: 'picksPerCm', name: 'Picks', ...perLength, forecast: picksAt },
    { key: 'picksOverMm', name: 'counted over', ...length },
    { key: 'thicknessMm', name: 'Thickness', ...thin, forecast: shownAlone((r) => r.thicknessMm.value) },
    { key: 'gramsPerM2', name: 'Weight', ...areaWeight, forecast: shownAlone((r) => r.weightGPerM2.value) },
  ];
}

function MeasuredTable({
  sample,
  system,
  readings,
}: {
  readonly sample: Sample;
  readonly system: LengthSystem;
  readonly readings: Readings | undefined;
}) {
  const { samples, ui } = useTable();
  const shownState = useTableState((state) => state.clothState);
  function note(stage: Stage, key: Figure, value: number | undefined) {
    const { stage: _stage, ...before } = sample.measured?.find((each) => each.stage === stage) ?? { stage };
    const { [key]: _old, ...others } = before as Record<string, number | string | undefined>;
    const next = value === undefined ? others : { ...others, [key]: value };
    const refusal = samples.dispatch(setMeasured(stage, Object.keys(next).length === 0 ? null : next));
    if (refusal) ui.getState().say(refusal.message);
  }
  const shown = (value: number, { scale }: FigureRow) => formatNumber(Number((value / scale).toPrecision(3)), 2);
  return (
    <div className="plan-table">
      <table>
        <caption>Measured on the swatch; in empty fields, as forecast</caption>
        <thead>
          <tr>
            <td />
            {stages.map(([stage, words]) => (
              <th key={stage} scope="col">
                {words}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rowsFor(system).map((row) => (
            <tr key={row.key}>
              <th scope="row">{`${row.name}, ${row.unit}`}</th>
              {stages.map(([stage, words]) => {
                const value = sample.measured?.find((each) => each.stage === stage)?.[row.key];
                const forecast = readings && row.forecast?.(readings, stage, shownState);
                const guess = forecast === undefined ? undefined : `≈ ${shown(forecast, row)}`;
                return (
                  <td key={stage}>
                    <NumberField
                      name={`${row.name} ${words}`}
                      value={value === undefined ? undefined : value / row.scale}
                      least={0.001}
                      most={100_000}
                      step={0.1}
                      empty={guess ?? '–'}
                      onChange={(typed) => note(stage, row.key, typed === undefined ? undefined : typed * row.scale)}
                    />
                    {value !== undefined && guess && <span className="range">{`forecast ${guess}`}</span>}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface ToldProps {
  readonly sample: Sample;
  readonly swatch: OwnSwatch;
  readonly system: LengthSystem;
  act(command: Command, words: string): void;
}

function Told({ sample, swatch, system, act }: ToldProps) {
  const dialect = useTableState((state) => state.preferences.dialect);
  const { beat, jam, lost, shrinkage } = swatch;
  const { name: loom, calibration = [] } = sample.loom;
  const perLength = (perCm: number) => {
    const { text, unit } = quantity(perCm, 'perLength', system);
    return `${text} ${unit}`;
  };
  const percent = (share: number, digits = 1) => `${formatNumber(100 * share, digits)} %`;
  const over = sample.measured?.find(({ stage }) => stage === 'onLoom')?.picksOverMm;
  const silent = !jam && !beat && lost.length === 0 && shrinkage.length === 0;
  return (
    <div className="told">
      {silent && (
        <p className="soft">
          {sample.measured?.length
            ? 'Nothing as yet. Picks counted on the loom tell your beat; a width or a length at two stages tells what was lost between them.'
            : 'Weave a little, measure it, and write what you measured into the table: picks counted on the loom tell your beat; a width or a length at two stages tells what was lost between them.'}
        </p>
      )}
      {jam && (
        <p className="trouble">{`${jam} Or the yarns are thinner than their cards say: wind them on a ruler.`}</p>
      )}
      {beat && (
        <p>
          {`You counted ${perLength(beat.countedPerCm)}${over ? '' : ` (taken as over ${lengthText(USUAL_COUNT_MM, system)})`}: a beat ${formatNumber(beat.fitted.beatFactor, 2)} times what the sample says, or ${percent(beat.fitted.firmness, 0)} of the firmest. `}
          {`Kept with ${loom}, the forecast is ${perLength(beat.next.picksPerCm)} and resistance is known to a factor of ${formatNumber(beat.next.doubt, 2)} (before: ${formatNumber(beat.next.doubtBefore, 2)}). `}
          {beat.kept ? (
            <button
              type="button"
              onClick={() => act(forgetSwatchBeat(sample.name), `${loom} has forgotten this swatch.`)}
            >
              Forget it
            </button>
          ) : (
            <button
              type="button"
              onClick={() =>
                act(
                  keepSwatchBeat(sample.name, beat.fitted),
                  `The beat is kept with ${loom}; the next sample starts from it.`,
                )
              }
            >
              {`Keep it with ${loom}`}
            </button>
          )}
        </p>
      )}
      {lost.length > 0 && (
        <p>
          {lost
            .map(({ of, stage, share }) =>
              share >= 0
                ? `${percent(share)} of the ${of} went ${stage === 'offLoom' ? 'off the loom' : 'in finishing'}`
                : `the ${of} grew by ${percent(-share)} ${stage === 'offLoom' ? 'off the loom' : 'in finishing'}`,
            )
            .join('; ')
            .replace(/^./, (first) => first.toUpperCase())}
          .
        </p>
      )}
      {shrinkage.map(({ card, system: of, fitted }) => (
        <p key={of}>
          {`${of === 'warp' ? 'Warp' : word('Weft', dialect)}, ${card.name}: the yarn itself lost about ${percent(fitted.value)} of its length (${percent(fitted.low)} to ${percent(fitted.high)}; the rest is waves). `}
          <button
            type="button"
            onClick={() =>
              act(
                setYarnShrinkage(card.id, [100 * fitted.low, 100 * fitted.high]),
                `${card.name} now says how it shrinks.`,
              )
            }
          >
            Note it on the yarn
          </button>
        </p>
      ))}
      {calibration.length > 0 && (
        <p className="soft">{`${loom} goes by ${calibration.map(({ name, beatFactor }) => `${name} (× ${formatNumber(beatFactor, 2)})`).join(', ')}.`}</p>
      )}
    </div>
  );
}
