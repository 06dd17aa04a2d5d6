import { useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { fixPicksPerCm, setBeatScatter, setWeftArc } from '#document/commands/beatCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { setReed, setSecondBeam, setTensionSpread, setWarpTension } from '#document/commands/warpCommands.ts';
import { setPause } from '#document/commands/weavingCommands.ts';
import { dentsOfWarp } from '#document/notation/denting.ts';
import { tensionAfterPause } from '#engine/cloth/spacing/pause.ts';
import { arcLength } from '#engine/cloth/spacing/weftArc.ts';
import { DensityStrip } from './DensityStrip.tsx';
import { beatNeededWords } from './planWords.ts';
import { TextField } from './TextField.tsx';

/** Let off longer from a second beam, per cent, until she says otherwise (common practice for puckered stripes). */
const USUAL_SLACK = 10;

/** How the warp stands in the reed, what beat the wanted picks need, pauses, and where the picks' density comes from. */
export default function ReedPanel() {
  return (
    <div className="plan-panel">
      <div className="plan-columns">
        <Sley />
        <Wanted />
        <Hand />
        <Pause />
        <DensityStrip />
      </div>
    </div>
  );
}

/** Does it; what it was refused for, to stand beside the field. */
function useDo(): readonly [trouble: string, act: (command: Command) => boolean] {
  const { samples } = useTable();
  const [trouble, setTrouble] = useState('');
  return [
    trouble,
    (command) => {
      const refusal = samples.dispatch(command);
      setTrouble(refusal?.message ?? '');
      return refusal === null;
    },
  ];
}

function Sley() {
  const { samples } = useTable();
  const warp = useStore(samples.state, (state) => state.sample.warp);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const [trouble, act] = useDo();
  const [leastCN, mostCN] = useStore(samples.state, (state) => state.sample.loom.tensionCNPerEnd);
  const { widthMm, endsPerDent } = dentsOfWarp(warp);
  const width = quantity(widthMm, 'length', system);
  const perUnit = system === 'inch' ? 2.54 : 1;
  const dents = Number((warp.reed.dentsPerCm * perUnit).toPrecision(4));
  return (
    <fieldset>
      <legend>Reed</legend>
      <TextField
        name={system === 'inch' ? 'Dents to the inch' : 'Dents to the cm'}
        value={String(dents)}
        disabled={warp.fixed}
        onTake={(text) => act(setReed({ dentsPerCm: Number(text.replace(',', '.')) / perUnit }))}
      />
      <TextField
        name="Ends in each dent"
        value={String(warp.reed.endsPerDent)}
        disabled={warp.fixed}
        wide
        onTake={(text) => act(setReed({ endsPerDent: /^\d+$/.test(text.trim()) ? Number(text) : text.trim() }))}
      />
      <NumberField
        name="Tension of each end"
        value={warp.tensionCNPerEnd}
        least={0.5}
        most={2000}
        unit="cN"
        onChange={(cN) => cN !== undefined && act(setWarpTension(cN))}
      />
      <NumberField
        name="Tension differs from end to end by"
        value={warp.tensionSpreadPercent}
        least={0}
        most={60}
        unit="%"
        empty="0"
        onChange={(percent) => act(setTensionSpread(percent ?? null))}
      />
      <TextField
        name="Ends on a second beam"
        value={warp.secondBeam?.ends ?? ''}
        disabled={warp.fixed}
        wide
        onTake={(text) => {
          const ends = text.trim();
          return act(
            setSecondBeam(ends === '' ? null : { ends, slackPercent: warp.secondBeam?.slackPercent ?? USUAL_SLACK }),
          );
        }}
      />
      {warp.secondBeam && (
        <NumberField
          name="let off longer by"
          value={warp.secondBeam.slackPercent}
          least={0.1}
          most={100}
          unit="%"
          onChange={(slackPercent) =>
            slackPercent !== undefined && warp.secondBeam && act(setSecondBeam({ ...warp.secondBeam, slackPercent }))
          }
        />
      )}
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble ||
          `${warp.ends} ends in ${endsPerDent.length} dents, ${width.text} ${width.unit} in the reed. ${
            warp.fixed
              ? 'The warp is on the loom, so it stays sleyed as it is.'
              : 'One number for all dents, or their order, such as 2 2 0 3: 0 leaves a dent empty. A second beam: 0 1 puts every other end on it, 0 x20, 1 x12 stripes.'
          } ${formatNumber(leastCN)} to ${formatNumber(mostCN)} cN an end are usual on this loom; 5 to 15 % of it between ends of one beam.`}
      </p>
    </fieldset>
  );
}

function Wanted() {
  const { samples, forecast } = useTable();
  const fixed = useStore(samples.state, (state) => state.sample.beat.fixedPicksPerCm);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const failure = useStore(forecast.state, (state) => state.trouble);
  const status = useStore(forecast.state, (state) => state.status);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const [trouble, act] = useDo();
  const perUnit = system === 'inch' ? 2.54 : 1;
  const needed = readings?.firmnessNeeded;
  const words = () => {
    if (status === 'failed' && failure) return failure.why;
    if (fixed === undefined) return 'Empty, the beat says how many picks there are.';
    if (needed === undefined || status !== 'settled') return 'Working out the beat that it needs…';
    return `That needs ${beatNeededWords(needed)}.`;
  };
  const bad =
    trouble !== '' ||
    status === 'failed' ||
    (fixed !== undefined && needed !== undefined && (needed > 1 || needed < 0));
  return (
    <fieldset>
      <legend>Picks wanted</legend>
      <TextField
        name={system === 'inch' ? 'Picks to the inch' : 'Picks to the cm'}
        value={fixed === undefined ? '' : String(Number((fixed * perUnit).toPrecision(4)))}
        onTake={(text) => {
          if (text.trim() === '') return fixed === undefined || act(fixPicksPerCm(null));
          return act(fixPicksPerCm(Number(text.replace(',', '.')) / perUnit));
        }}
      />
      <p className={bad ? 'trouble' : 'soft'} role="status">
        {trouble || words()}
      </p>
    </fieldset>
  );
}

/** How unevenly the hand beats, and which hand: another seed is another go at the same cloth. */
function Hand() {
  const system = useTableState((state) => state.preferences.lengthSystem);
  const { samples } = useTable();
  const beat = useStore(samples.state, (state) => state.sample.beat);
  const { widthMm } = dentsOfWarp(useStore(samples.state, (state) => state.sample.warp));
  const [trouble, act] = useDo();
  return (
    <fieldset>
      <legend>The hand</legend>
      <NumberField
        name="The beat differs from pick to pick by"
        value={beat.scatterPercent}
        least={0}
        most={100}
        unit="%"
        onChange={(scatterPercent) => scatterPercent !== undefined && act(setBeatScatter({ scatterPercent }))}
      />
      <button
        type="button"
        disabled={beat.scatterPercent === 0}
        onClick={() => act(setBeatScatter({ scatterPercent: beat.scatterPercent, seed: (beat.seed + 1) % 2 ** 32 }))}
      >
        Weave it another time
      </button>
      <NumberField
        name="The weft is laid in an arc this high"
        value={beat.weftArcMm}
        least={0}
        most={1000}
        unit="mm"
        empty="0"
        onChange={(arcMm) => act(setWeftArc(arcMm ?? null))}
      />
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble || arcWords(widthMm, system, beat.weftArcMm)}
      </p>
      <p className="soft" role="status">
        {beat.scatterPercent === 0
          ? 'Every pick is beaten alike, as no hand does.'
          : 'Where the firmer picks fall is left to chance; woven another time they fall elsewhere.'}
      </p>
    </fieldset>
  );
}

function arcWords(widthMm: number, system: LengthSystem, arcMm = 0): string {
  if (!arcMm)
    return 'Laid straight across, the weft pulls the edges in as it bends. An arc, beaten flat, gives it the length that it bends by: less draws in. Too high, loops stand out.';
  const percent = 100 * (arcLength(widthMm, arcMm) - 1);
  const over = quantity(widthMm, 'length', system);
  return `Over ${over.text} ${over.unit} that gives the weft ${formatNumber(percent, 1)} % more length than the reed is wide.`;
}

function Pause() {
  const table = useTable();
  const sample = useStore(table.samples.state, (state) => state.sample);
  useTableState((state) => state.selection);
  useTableState((state) => state.cursorPick);
  const [trouble, act] = useDo();
  const pick = pickTarget(table).from;
  const minutes = sample.picks[pick - 1]?.pauseBeforeMin;
  const others = sample.picks.flatMap(({ pauseBeforeMin }, k) => (pauseBeforeMin ? [k + 1] : []));
  return (
    <fieldset>
      <legend>Pause</legend>
      <NumberField
        key={pick}
        name={`The loom stood before pick ${pick} for`}
        value={minutes}
        least={0}
        most={100_000}
        unit="min"
        empty="0"
        onChange={(value) => act(setPause({ pick, minutes: value ?? null }))}
      />
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble ||
          (minutes
            ? `The warp slackens by about ${formatNumber(100 * (1 - tensionAfterPause(minutes)))} %: the first picks after it lie closer, a bar of one or a few. Slacken the warp when you leave, and bring it back to its tension before the first beat.`
            : others.length > 0
              ? `Pauses stand before ${others.length === 1 ? 'pick' : 'picks'} ${others.slice(0, 12).join(', ')}${others.length > 12 ? ' …' : ''}.`
              : 'Choose a pick among the picks to say that the loom stood before it.')}
      </p>
    </fieldset>
  );
}
