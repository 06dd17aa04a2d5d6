import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { loadSample } from '#document/commands/versionCommands.ts';

/** Puts one of the ready samples on the table. What was there comes back with undo. */
export function SampleChooser() {
  const { samples, ready, ui } = useTable();
  const name = useStore(samples.state, (state) => state.sample.name);
  const index = ready.findIndex((sample) => sample.name === name);
  return (
    <label className="soft">
      Sample{' '}
      <select
        value={index}
        onChange={(event) => {
          const chosen = ready[Number(event.target.value)];
          if (!chosen) return;
          const refusal = samples.dispatch(loadSample(chosen));
          ui.getState().say(
            refusal ? refusal.message : `${chosen.name} is on the table. Undo brings the last one back.`,
          );
          ui.getState().select(undefined);
        }}
      >
        {index < 0 && <option value={-1}>{name}</option>}
        {ready.map((sample, i) => (
          <option key={sample.name} value={i}>
            {sample.name}
          </option>
        ))}
      </select>
    </label>
  );
}
