import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { firmnessAt, setBeat } from '#document/commands/beatCommands.ts';
import { spanInWords } from '#document/commands/command.ts';

/** The beat of the selected picks as a number, for when the trace is too coarse; nothing while none are selected. */
export function BeatField() {
  const { samples, ui } = useTable();
  const selection = useTableState((state) => state.selection);
  const sample = useStore(samples.state, (state) => state.sample);
  if (selection?.kind !== 'picks' || selection.range.from >= sample.picks.length) return null;
  const span = { from: selection.range.from + 1, to: Math.min(selection.range.to + 1, sample.picks.length) };
  const percent = Math.round(firmnessAt(sample, span.from - 1) * 100);

  function change(text: string) {
    const firmness = Number(text) / 100;
    if (text.trim() === '' || Math.round(firmness * 100) === percent) return;
    const refusal = samples.dispatch(setBeat({ picks: span, firmness }));
    if (refusal) ui.getState().say(refusal.message);
  }

  return (
    <label className="beat-field">
      {`Beat, ${spanInWords('pick', span)} `}
      <span>
        <input
          type="number"
          key={`${span.from} ${span.to} ${percent}`}
          defaultValue={percent}
          min={0}
          max={100}
          step={1}
          onBlur={(event) => change(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') change(event.currentTarget.value);
          }}
        />{' '}
        % firm
      </span>
    </label>
  );
}
