import { useMemo } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber, type LengthSystem, spanText } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import { setPlan } from '#document/commands/weavingCommands.ts';
import { type PieceQuantities, pieceQuantities, type YarnQuantity } from '#document/pieceQuantities.ts';
import type { SamplePlan } from '#document/schema/sampleSchema.ts';
import { enoughLeft } from '#document/yarnNeeded.ts';
import { rollDiameterMm, USUAL_ROLLER_MM } from '#engine/cloth/quantities/clothRoll.ts';
import type { Reading } from '#engine/units/reading.ts';
import { lengthRange, lengthText, longLength, mmPerTyped, timeText, typedUnit } from './planWords.ts';

/** What the piece takes: each yarn in length and weight against what is left of it, the warp line by line, and time. */
export default function YarnPanel() {
  const { samples, forecast } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const sums = useMemo(
    () => (cloth && readings ? pieceQuantities(sample, cloth, readings) : undefined),
    [sample, cloth, readings],
  );
  if (!sums) return <p className="plan-panel soft">Not yet computed.</p>;
  return (
    <div className="plan-panel">
      <div className="plan-columns">
        <YarnTable sums={sums} />
        <PlanFields plan={sample.plan ?? {}} sums={sums} />
        <WarpLines sums={sums} thicknessMm={readings?.thicknessMm.value ?? 0} />
        <TimeLines sums={sums} />
      </div>
    </div>
  );
}

function PlanFields({ plan, sums }: { readonly plan: SamplePlan; readonly sums: PieceQuantities }) {
  const { samples, ui } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const per = mmPerTyped[system];
  const change = (part: Parameters<typeof setPlan>[0]) => {
    const refusal = samples.dispatch(setPlan(part));
    if (refusal) ui.getState().say(refusal.message);
  };
  const length = (key: 'hemMm' | 'fringeMm' | 'headingMm', name: string, most: number) => (
    <NumberField
      name={name}
      value={plan[key] === undefined ? undefined : plan[key] / per}
      least={0}
      most={most}
      step={0.5}
      unit={typedUnit[system]}
      empty="0"
      onChange={(value) => change({ [key]: value ? value * per : null })}
    />
  );
  const { losses } = sums;
  const said = {
    plan: 'as you say here',
    swatch: 'as your own swatch lost',
    forecast: 'as forecast',
    usual: 'as is usual; your own swatch says better',
  }[losses.from];
  return (
    <fieldset className="piece">
      <legend>The piece</legend>
      <NumberField
        name="Pieces"
        value={plan.pieces}
        least={1}
        most={1000}
        empty="1"
        onChange={(pieces) => change({ pieces: pieces ? Math.round(pieces) : null })}
      />
      {length('hemMm', 'Hem, each end', 200)}
      {length('fringeMm', 'Fringe, each end', 200)}
      {length('headingMm', 'Heading and trials', 500)}
      <NumberField
        name="Lost off the loom"
        value={plan.lossOffLoomPercent}
        least={0}
        most={80}
        unit="%"
        empty={formatNumber(100 * losses.offLoom, 1)}
        onChange={(percent) => change({ lossOffLoomPercent: percent ?? null })}
      />
      <NumberField
        name="Then in finishing"
        value={plan.lossFinishedPercent}
        least={0}
        most={80}
        unit="%"
        empty={formatNumber(100 * losses.finished, 1)}
        onChange={(percent) => change({ lossFinishedPercent: percent ?? null })}
      />
      <p className="soft">
        {`Finished, a piece is about ${lengthRange(sums.finished.widthMm, system)} by ${lengthRange(sums.finished.lengthMm, system)}, with losses ${said}. Each is taken of what there was before it.`}
      </p>
    </fieldset>
  );
}

function YarnTable({ sums }: { readonly sums: PieceQuantities }) {
  const system = useTableState((state) => state.preferences.lengthSystem);
  const dialect = useTableState((state) => state.preferences.dialect);
  return (
    <div className="plan-table">
      <table>
        <caption>Yarn{sums.pieces > 1 ? `, ${sums.pieces} pieces` : ''}</caption>
        <thead>
          <tr>
            <td />
            <th scope="col">warp</th>
            <th scope="col">{word('weft', dialect)}</th>
            <th scope="col">together</th>
            <th scope="col">left</th>
          </tr>
        </thead>
        <tbody>
          {sums.yarns.map((yarn) => (
            <tr key={yarn.card.id}>
              <th scope="row">{yarn.card.name}</th>
              <td>{yarn.warpM > 0 ? longLength(yarn.warpM, system) : '–'}</td>
              <td>{yarn.weftM > 0 ? longLength(yarn.weftM, system) : '–'}</td>
              <td>
                {`≈ ${formatNumber(yarn.grams.value, yarn.grams.value < 10 ? 1 : 0)} g`}
                <span className="range">{`${formatNumber(yarn.grams.low, yarn.grams.low < 10 ? 1 : 0)}–${formatNumber(yarn.grams.high, yarn.grams.high < 10 ? 1 : 0)} g`}</span>
              </td>
              <td>
                <Left yarn={yarn} system={system} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="soft">
        {`By mass of the cloth: ${sums.fibres.map(({ fibre, share }) => `${formatNumber(100 * share)} % ${fibre}`).join(', ')}. How much is left is noted with each yarn (Change).`}
      </p>
    </div>
  );
}

function Left({ yarn, system }: { readonly yarn: YarnQuantity; readonly system: LengthSystem }) {
  const { leftM, metres, reach, card } = yarn;
  if (!leftM) return <span className="soft">not noted</span>;
  const rest = `${formatNumber((leftM.value * card.tex) / 1000)} g, ${longLength(leftM.value, system)}`;
  const enough = enoughLeft(leftM, metres);
  const weaves = reach ? `, weaves ${lengthText(reach.heightMm, system)}` : '';
  if (enough === 'enough') return <>{`${rest}: enough${weaves}`}</>;
  return (
    <span className="trouble">
      {enough === 'perhaps' ? `${rest}: may not be enough${weaves}` : `${rest}: too little${weaves}`}
    </span>
  );
}

function WarpLines({ sums, thicknessMm }: { readonly sums: PieceQuantities; readonly thicknessMm: number }) {
  const system = useTableState((state) => state.preferences.lengthSystem);
  const { warp, warpMm } = sums;
  const metres = (mm: number) => longLength(mm / 1000, system);
  const rolledMm = rollDiameterMm(warp.clothMm + warp.hemsMm + warp.headingMm, thicknessMm);
  const lines: readonly (readonly [string, number])[] = [
    ['Woven, under tension', warp.clothMm],
    ['Hems', warp.hemsMm],
    ['Heading and trials', warp.headingMm],
    ['Take-up', warp.takeUpMm],
    ['Fringes', warp.fringesMm],
    ['Loom waste', warp.wasteMm],
  ];
  return (
    <div className="plan-table">
      <table>
        <caption>Length of warp</caption>
        <tbody>
          {lines
            .filter(([, mm]) => mm > 0)
            .map(([name, mm]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{lengthText(mm, system)}</td>
              </tr>
            ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">Warp to wind</th>
            <td>
              {`≈ ${metres(warpMm.value)}`}
              <span className="range">{spanText(metres(warpMm.low), metres(warpMm.high))}</span>
            </td>
          </tr>
        </tfoot>
      </table>
      <p className="soft">
        {`${sums.ends} ends in ${sums.dents} dents, ${lengthText(sums.reedWidthMm, system)} in the reed. On a roller of ${lengthText(USUAL_ROLLER_MM, system)} the cloth makes a roll of about ${lengthText(rolledMm, system)}.`}
      </p>
    </div>
  );
}

function TimeLines({ sums }: { readonly sums: PieceQuantities }) {
  const { samples } = useTable();
  const own = useStore(samples.state, (state) => state.sample.plan?.picksPerMinute);
  const { time, timeMin, dressingMin } = sums;
  const lines: readonly (readonly [string, number])[] = [
    ['Throwing and beating', time.throwsMin],
    ['Changing shuttles', time.shuttlesMin],
    ['Cutting each pick, and tails', time.cutsMin],
    ['Laying by hand', time.handMin],
    ['Winding on', time.windingMin],
  ];
  return (
    <div className="plan-table">
      <table>
        <caption>Time at the loom</caption>
        <tbody>
          {lines
            .filter(([, minutes]) => minutes > 0.5)
            .map(([name, minutes]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{`≈ ${timeText(minutes)}`}</td>
              </tr>
            ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">Weaving</th>
            <Minutes reading={timeMin} />
          </tr>
          {dressingMin.value > 0 && (
            <tr>
              <th scope="row">Dressing the loom before</th>
              <Minutes reading={dressingMin} />
            </tr>
          )}
        </tfoot>
      </table>
      <NumberField
        name="Your pace, one shuttle"
        value={own}
        least={0.1}
        most={400}
        unit="picks a minute"
        empty={formatNumber(sums.picksPerMinute, 1)}
        onChange={(pace) => samples.dispatch(setPlan({ picksPerMinute: pace ?? null }))}
      />
    </div>
  );
}

function Minutes({ reading: { value, low, high } }: { readonly reading: Reading }) {
  return (
    <td>
      {`≈ ${timeText(value)}`}
      <span className="range">{spanText(timeText(low), timeText(high))}</span>
    </td>
  );
}
