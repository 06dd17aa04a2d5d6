import { useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { type KnownFault, mendLoomFault, noteLoomFault } from '#document/commands/loomCommands.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';

type Place = 'shaft' | 'treadle' | 'end';
type Effect = NonNullable<KnownFault['effect']> | 'none';

const placeWords: Record<Place, string> = { shaft: 'shaft', treadle: 'treadle', end: 'heald of end' };
const effectWords: Record<Effect, string> = {
  staysDown: 'stays down',
  staysUp: 'stays up',
  movesNothing: 'moves nothing',
  none: 'is only noted',
};

/** What is known to go wrong on this loom: noted, and struck off once it is mended. */
export function KnownFaults() {
  const { samples, ui } = useTable();
  const loom = useStore(samples.state, (state) => state.sample.loom);
  const endCount = useStore(samples.state, (state) => state.sample.warp.ends);
  const [place, setPlace] = useState<Place>('shaft');
  const [number, setNumber] = useState(1);
  const [chosenEffect, setEffect] = useState<Effect>('staysDown');
  const [note, setNote] = useState('');
  const treadles = loom.control.kind === 'treadles' ? loom.control.treadles : 0;
  const places: Place[] = treadles > 0 ? ['shaft', 'treadle', 'end'] : ['shaft', 'end'];
  const effects: Effect[] = place === 'treadle' ? ['movesNothing', 'none'] : ['staysDown', 'staysUp', 'none'];
  const effect = effects.includes(chosenEffect) ? chosenEffect : effects[0];
  const most = { shaft: loom.shafts, treadle: treadles, end: endCount }[place];
  const act = (command: Parameters<typeof samples.dispatch>[0], words: string) => {
    const refusal = samples.dispatch(command);
    ui.getState().say(refusal ? refusal.message : words);
  };

  function noteIt() {
    const fault: KnownFault = {
      [place]: Math.min(number, most),
      ...(effect === 'none' ? {} : { effect }),
      note: note.trim() || effectWords[effect],
    };
    act(noteLoomFault(fault), `Noted of ${loom.name}. Every cloth woven there has it, until it is mended.`);
    setNote('');
  }

  return (
    <fieldset>
      <legend>{`Known of ${loom.name}`}</legend>
      <ul className="ways">
        {(loom.knownFaults ?? []).map((fault, k) => (
          <li key={`${k} ${fault.note}`}>
            {`${faultWords(fault)} `}
            <button
              type="button"
              onClick={() => act(mendLoomFault(k + 1), `${loom.name} is mended: ${faultWords(fault)} no more.`)}
            >
              Mended
            </button>
          </li>
        ))}
      </ul>
      {!loom.knownFaults?.length && <p className="soft">No faults are noted.</p>}
      <Choice<Place>
        name="Where"
        value={place}
        options={places.map((each) => [each, placeWords[each]] as const)}
        onChoose={setPlace}
      />
      <NumberField
        name="Number"
        value={Math.min(number, most)}
        least={1}
        most={most}
        onChange={(value) => value && setNumber(Math.round(value))}
      />
      <Choice<Effect>
        name="What"
        value={effect}
        options={effects.map((each) => [each, effectWords[each]] as const)}
        onChoose={setEffect}
      />
      <label className="wide-field">
        <span className="soft">Note</span>{' '}
        <input type="text" maxLength={400} value={note} onChange={(event) => setNote(event.target.value)} />
      </label>
      <button type="button" onClick={noteIt}>
        Note it
      </button>
    </fieldset>
  );
}

/** "shaft 3 stays down (its cord is worn), in every cloth woven here". */
function faultWords({ shaft, treadle, end, effect, note }: NonNullable<LoomCard['knownFaults']>[number]): string {
  const places = [shaft && `shaft ${shaft}`, treadle && `treadle ${treadle}`, end && `the heald of end ${end}`];
  const where = places.filter(Boolean).join(', ') || 'the loom';
  if (!effect) return `${where}: ${note}`;
  const words = effectWords[effect];
  return `${where} ${words}${note === words ? '' : ` (${note})`}, in every cloth woven here`;
}
