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

  /** Takes what was typed; what cannot be taken gives way to the value in force. */
  function change(input: HTMLInputElement) {
    const typed = input.value.trim();
    const wanted = Number(typed);
    if (typed !== '' && Math.round(wanted) === percent) return;
    let trouble: string | undefined;
    if (input.validity.badInput || wanted < 0 || wanted > 100) {
      const what = input.validity.badInput ? 'what was typed is not a number' : `${typed} % is not a beat`;
      trouble = `Beat, ${spanInWords('pick', span)}: ${what}. Give a number between 0 and 100 %.`;
    } else if (typed !== '') {
      trouble = samples.dispatch(setBeat({ picks: span, firmness: wanted / 100 }))?.message;
      if (!trouble) return;
    }
    if (trouble) ui.getState().say(trouble);
    input.value = String(percent);
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
          onBlur={(event) => change(event.target)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') change(event.currentTarget);
          }}
        />{' '}
        % of the firmest
      </span>
    </label>
  );
}
