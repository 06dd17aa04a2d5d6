import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { lengthText, mmPerTyped, typedUnit } from '#app/plan/planWords.ts';
import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { orderLength } from '#document/commands/nextPick.ts';
import { recutPicks } from '#document/commands/weavingCommands.ts';
import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type HalfWay, halfWay } from '#engine/cloth/swatch/halfWay.ts';

/** Picks left out or doubled at a time where the weave's own order is longer than this or none shows. */
const MOST_UNIT = 16;

/** What was woven so far against the forecast, and three ways on. */
export function HalfWayPart() {
  const { samples, forecast, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const problem = useStore(forecast.state, (state) => state.resultCloth?.problem);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const cursor = useTableState((state) => state.cursorPick);
  const count = sample.picks.length;
  const [woven, setWoven] = useState<number>();
  const [heightMm, setHeightMm] = useState<number>();
  const picks = woven ?? Math.max(1, Math.min(count - 1, cursor > 0 ? cursor + 1 : Math.round(count / 2)));
  const outcome = useMemo(() => (problem ? tried(problem, picks, heightMm) : undefined), [problem, picks, heightMm]);
  const per = mmPerTyped[system];
  const act = (command: Command, words: string) => ui.getState().say(samples.dispatch(command)?.message ?? words);
  return (
    <fieldset>
      <legend>Half way up</legend>
      <NumberField
        name="Picks woven"
        value={picks}
        least={1}
        most={Math.max(1, count - 1)}
        onChange={(value) => setWoven(value === undefined ? undefined : Math.round(value))}
      />
      <NumberField
        name="Height woven, on the loom"
        value={heightMm === undefined ? undefined : heightMm / per}
        least={0.01}
        most={10_000}
        step={0.1}
        unit={typedUnit[system]}
        empty="–"
        onChange={(value) => setHeightMm(value === undefined ? undefined : value * per)}
      />
      {outcome === undefined ? (
        <p className="soft">
          Lay a ruler along the warp, from the first pick to the fell, with the warp at its tension.
        </p>
      ) : typeof outcome === 'string' ? (
        <p className="trouble">{outcome}</p>
      ) : (
        <Ways found={outcome} picks={picks} count={count} system={system} unitOf={unitOf(sample.picks)} act={act} />
      )}
    </fieldset>
  );
}

function tried(problem: ClothProblem, picks: number, heightMm: number | undefined): HalfWay | string | undefined {
  if (heightMm === undefined) return undefined;
  try {
    return halfWay(problem, picks, heightMm);
  } catch (error) {
    if (error instanceof ClothError || error instanceof RangeError) return error.message;
    throw error;
  }
}

function unitOf(picks: Parameters<typeof orderLength>[0]): number {
  const order = orderLength(picks, picks.length);
  return order !== undefined && order <= MOST_UNIT ? order : 2;
}

interface WaysProps {
  readonly found: HalfWay;
  readonly picks: number;
  readonly count: number;
  readonly system: LengthSystem;
  readonly unitOf: number;
  act(command: Command, words: string): void;
}

function Ways({ found, picks, count, system, unitOf: usual, act }: WaysProps) {
  const [unit, setUnit] = useState<number>();
  const step = unit ?? usual;
  const { stretch, plannedMm, keepPicks, recut, changeBeat } = found;
  const percent = (share: number) => `${formatNumber(100 * Math.abs(share), 1)} %`;
  const off = (error: number) =>
    Math.abs(error) < 0.002 ? 'as planned' : `${percent(error)} ${error > 0 ? 'taller' : 'shorter'} than planned`;
  const perLength = (perCm: number) => {
    const { text, unit: each } = quantity(perCm, 'perLength', system);
    return `${text} ${each}`;
  };
  const jams = changeBeat?.jam;
  const firmness = changeBeat?.firmness;
  return (
    <>
      <p>
        {`These ${picks} picks came out ${off(stretch - 1)} (the whole: ${lengthText(plannedMm, system)} on the loom).`}
      </p>
      <ol className="ways">
        <li>
          {`Keep the picks and the beat: the whole comes out ${lengthText(keepPicks.heightMm, system)}, ${off(keepPicks.error)}.`}
        </li>
        <li>
          {recut ? (
            <>
              {`Keep the beat and weave the ${count - picks} picks left in ${recut.picks}: ${lengthText(recut.heightMm, system)}, ${off(recut.error)}. The part woven stays ${off(stretch - 1)}; what is left makes up for it. `}
              <NumberField
                name={recut.picks < count - picks ? 'Leave out at a time' : 'Double at a time'}
                value={step}
                least={1}
                most={64}
                unit={step === 1 ? 'pick' : 'picks'}
                onChange={(value) => setUnit(value === undefined ? undefined : Math.round(value))}
              />{' '}
              <button
                type="button"
                disabled={recut.picks === count - picks}
                onClick={() =>
                  act(
                    recutPicks({ from: picks + 1, wanted: recut.picks, unit: step }),
                    `The rest is woven in about ${recut.picks} picks.`,
                  )
                }
              >
                Weave the rest so
              </button>
            </>
          ) : (
            'It is taller already than the whole should be: no picks can be left out for that.'
          )}
        </li>
        {changeBeat && (
          <li>
            {`Keep the picks and change the beat: from ${perLength(changeBeat.fromPicksPerCm)} to ${perLength(changeBeat.toPicksPerCm)} from pick ${picks + 1} on. `}
            {changeBeat.seen
              ? `The step will be seen between picks ${picks} and ${picks + 1}. `
              : 'The step is too small to be seen. '}
            {jams ??
              (firmness !== undefined &&
                (firmness > 1 || firmness < 0
                  ? `That is ${firmness > 1 ? 'firmer' : 'looser'} than this loom gives.`
                  : `That is a beat of ${formatNumber(100 * firmness)} % of the firmest. `))}
            {firmness !== undefined && firmness >= 0 && firmness <= 1 && (
              <button
                type="button"
                onClick={() =>
                  act(
                    setBeat({ picks: { from: picks + 1, to: count }, firmness: Math.round(1000 * firmness) / 1000 }),
                    `Picks ${picks + 1} to ${count} are beaten ${formatNumber(100 * firmness)} %.`,
                  )
                }
              >
                Beat the rest so
              </button>
            )}
          </li>
        )}
      </ol>
    </>
  );
}
