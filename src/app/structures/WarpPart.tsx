import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { TextField } from '#app/plan/TextField.tsx';
import { loomWords } from '#app/table/loomWords.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { setThreading, setWarpFixed } from '#document/commands/warpCommands.ts';
import { readThreading } from '#document/notation/threading.ts';
import { sampleOnWarp, sleyFor } from '#document/sampleOnWarp.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { listPresets, readLoomPreset } from '#io/presets.ts';

const NONE = '';
const PICKS = 96;

/** The warp on the table: whether it stays as it is, and how it is drawn in; and another begun from nothing. */
export function WarpPart() {
  return (
    <div className="weave-columns">
      <ThisWarp />
      <OtherWarp />
    </div>
  );
}

function ThisWarp() {
  const { samples } = useTable();
  const warp = useStore(samples.state, (state) => state.sample.warp);
  const loom = useStore(samples.state, (state) => state.sample.loom);
  const [trouble, setTrouble] = useState('');
  const threading = readThreading(warp.threading);
  const act = (command: Parameters<typeof samples.dispatch>[0]) => {
    const refusal = samples.dispatch(command);
    setTrouble(refusal?.message ?? '');
    return refusal === null;
  };
  return (
    <fieldset>
      <legend>The warp on the table</legend>
      <p>{`${warp.name}, on ${loom.name}`}</p>
      <label>
        <input
          type="checkbox"
          checked={warp.fixed === true}
          onChange={(event) => act(setWarpFixed(event.target.checked))}
        />{' '}
        is on the loom: yarns, sett and threading stay
      </label>
      <TextField
        name="Drawn in"
        value={threading.ok ? formatThreading(threading.value) : ''}
        disabled={warp.fixed}
        wide
        onTake={(text) => act(setThreading(text))}
      />
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble ||
          (warp.fixed
            ? 'Planning a warp to come? Take the tick away, and structures and blocks may thread it.'
            : 'Such as 1-8, point 8, or 1-4 x6, 5-8 x6 for two blocks; it begins again until the ends run out. The lifts stay.')}
      </p>
    </fieldset>
  );
}

/** The looms of the room. */
function useLooms(): readonly LoomCard[] {
  const [looms, setLooms] = useState<readonly LoomCard[]>([]);
  useEffect(() => {
    let wanted = true;
    void Promise.all(listPresets('looms').map(({ id }) => readLoomPreset(id))).then(
      (read) => wanted && setLooms(read.flatMap((loom) => (loom.ok ? [loom.value] : []))),
    );
    return () => {
      wanted = false;
    };
  }, []);
  return looms;
}

function OtherWarp() {
  const table = useTable();
  const { samples } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const stock = useStore(table.stock, (state) => state.cards);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const room = useLooms();
  const looms = [sample.loom, ...room.filter(({ id }) => id !== sample.loom.id)];
  const yarns = [...Object.values(sample.yarns), ...(stock ?? []).filter(({ id }) => !Object.hasOwn(sample.yarns, id))];
  const [loomId, setLoomId] = useState(sample.loom.id);
  const [chosen, setChosen] = useState<readonly [string, string, string]>([NONE, NONE, NONE]);
  const [ends, setEnds] = useState(96);
  const [endsPerCm, setEndsPerCm] = useState(12);
  const [draw, setDraw] = useState<string>();
  const [trouble, setTrouble] = useState('');
  useEffect(() => void table.fetchStock(), [table]);

  const loom = looms.find(({ id }) => id === loomId) ?? sample.loom;
  const cardOf = (id: string) => yarns.find((yarn) => yarn.id === id);
  const [first, second, weft] = chosen.map(cardOf) as [YarnCard?, YarnCard?, YarnCard?];
  const warpYarn = first ?? yarns[0];
  const threading = draw ?? `1-${loom.shafts}`;
  const sley = sleyFor(endsPerCm, loom.reedsDentsPerCm);
  const perUnit = system === 'inch' ? 2.54 : 1;
  const width = quantity((10 * ends) / (sley.dentsPerCm * sley.endsPerDent), 'length', system);

  function begin() {
    const outcome = sampleOnWarp(
      {
        loom,
        warpYarns: second && second.id !== warpYarn.id ? [warpYarn, second] : [warpYarn],
        weftYarn: weft ?? second ?? warpYarn,
        ends,
        endsPerCm,
        threading,
        picks: PICKS,
      },
      `Own warp, ${loom.name.split(',')[0]}`,
    );
    setTrouble(outcome.ok ? '' : outcome.problems[0].message);
    if (outcome.ok) void table.layNew(outcome.value);
  }

  const yarnChoice = (name: string, at: 0 | 1 | 2, none?: string) => (
    <label>
      <span className="soft">{name}</span>{' '}
      <select
        value={chosen[at] || (none === undefined ? warpYarn.id : NONE)}
        onChange={(event) => {
          const next: [string, string, string] = [...chosen];
          next[at] = event.target.value;
          setChosen(next);
        }}
      >
        {none !== undefined && <option value={NONE}>{none}</option>}
        {yarns.map(({ id, name: words }) => (
          <option key={id} value={id}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
  return (
    <fieldset>
      <legend>Begin on another warp</legend>
      <label>
        <span className="soft">Loom</span>{' '}
        <select
          value={loom.id}
          onChange={(event) => {
            setLoomId(event.target.value);
            setDraw(undefined);
          }}
        >
          {looms.map((each) => (
            <option key={each.id} value={each.id}>
              {`${each.name}: ${loomWords(each)}`}
            </option>
          ))}
        </select>
      </label>
      {yarnChoice('Warp', 0)}
      {yarnChoice('one and one with', 1, 'no other yarn')}
      {yarnChoice('Weft', 2, 'the same')}
      <NumberField
        name="Ends"
        value={ends}
        least={2}
        most={4000}
        onChange={(value) => value && setEnds(Math.round(value))}
      />
      <NumberField
        name={system === 'inch' ? 'Ends to the inch' : 'Ends to the cm'}
        value={endsPerCm * perUnit}
        least={0.5}
        most={200}
        onChange={(value) => value && setEndsPerCm(value / perUnit)}
      />
      <TextField
        name="Drawn in"
        value={threading}
        wide
        onTake={(text) => {
          setDraw(text);
          return true;
        }}
      />
      <p className="soft">
        {`${formatNumber(sley.dentsPerCm * perUnit, 1)} dents to the ${system === 'inch' ? 'inch' : 'cm'} with ${sley.endsPerDent} in each: ` +
          `${width.text} ${width.unit} in the reed. The draw begins again until the ends run out; structures and blocks can thread it anew.`}
      </p>
      <button type="button" className="strong" onClick={begin}>
        Begin on this warp
      </button>
      {trouble && (
        <p className="trouble" role="status">
          {trouble}
        </p>
      )}
    </fieldset>
  );
}
