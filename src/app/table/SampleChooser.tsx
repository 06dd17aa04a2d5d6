import { useRef } from 'react';
import { useStore } from 'zustand';
import { BeginButton } from '#app/begin/BeginButton.tsx';
import { useTable } from '#app/model/tableContext.ts';

/** Puts one of the ready samples on the table, as it was left, or a new one. What was there comes back with undo. */
export function SampleChooser() {
  const table = useTable();
  const byPointerRef = useRef(false);
  const name = useStore(table.samples.state, (state) => state.sample.name);
  const known = table.ready.find((sample) => sample.name === name);
  return (
    <>
      <label className="soft">
        Sample{' '}
        <select
          value={known?.id ?? ''}
          onPointerDown={() => {
            byPointerRef.current = true;
          }}
          onKeyDown={() => {
            byPointerRef.current = false;
          }}
          onChange={(event) => {
            void table.takeReady(event.target.value);
            // Whoever chose with a pointer goes on with the cloth, whose keys a list would take for letters.
            if (byPointerRef.current) document.querySelector<HTMLElement>('.cloth-panel')?.focus();
          }}
        >
          {!known && <option value="">{name}</option>}
          {table.ready.map((sample) => (
            <option key={sample.id} value={sample.id}>
              {sample.name}
            </option>
          ))}
        </select>
      </label>
      {known && (
        <button
          type="button"
          title={`${name} as it came with the program, without your changes and kept versions; undo brings them back`}
          onClick={() => void table.takeAfresh(known.id)}
        >
          As it came
        </button>
      )}
      <BeginButton words="Begin…" />
    </>
  );
}
