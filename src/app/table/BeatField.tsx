import { useStore } from 'zustand';
import { beatEvenly, beatRange, beatWholeCloth } from '#app/model/beatActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { firmnessAt, setBeat } from '#document/commands/beatCommands.ts';
import { spanInWords } from '#document/commands/command.ts';

/** The beat of the selected picks as a number, for when the trace is too coarse; of the whole cloth while none are. */
export function BeatField() {
  const table = useTable();
  const { samples, ui } = table;
  const selection = useTableState((state) => state.selection);
  const sample = useStore(samples.state, (state) => state.sample);
  if (sample.picks.length === 0) return null;
  const selected = selection?.kind === 'picks' && selection.range.from < sample.picks.length;
  const span = selected
    ? { from: selection.range.from + 1, to: Math.min(selection.range.to + 1, sample.picks.length) }
    : undefined;
  const { least, most } = beatRange(sample);
  const uneven = !span && Math.round(least * 100) !== Math.round(most * 100);
  const percent = Math.round((span ? firmnessAt(sample, span.from - 1) : least) * 100);
  const shown = uneven ? '' : String(percent);
  const what = span ? spanInWords('pick', span) : 'whole cloth';

  /** Takes what was typed; what cannot be taken gives way to the value in force. */
  function change(input: HTMLInputElement) {
    const typed = input.value.trim();
    const wanted = Number(typed);
    if (typed === shown && !input.validity.badInput) return;
    let trouble: string | undefined;
    if (input.validity.badInput || wanted < 0 || wanted > 100) {
      const why = input.validity.badInput ? 'what was typed is not a number' : `${typed} % is not a beat`;
      trouble = `Beat, ${what}: ${why}. Give a number between 0 and 100 %.`;
    } else if (typed !== '') {
      const firmness = wanted / 100;
      trouble = (span ? samples.dispatch(setBeat({ picks: span, firmness })) : beatEvenly(table, firmness))?.message;
      if (!trouble) return;
    }
    if (trouble) ui.getState().say(trouble);
    input.value = shown;
  }

  return (
    <div className="beat-field">
      <label>
        {`Beat, ${what} `}
        <span>
          <input
            type="number"
            key={`${what} ${shown}`}
            defaultValue={shown}
            placeholder={uneven ? `${percent}–${Math.round(most * 100)}` : undefined}
            min={0}
            max={100}
            step={1}
            onBlur={(event) => change(event.target)}
            onKeyDown={(event) => {
              if (event.key === 'Enter') change(event.currentTarget);
            }}
          />{' '}
          % of firmest
        </span>
      </label>
      {!span && (
        <span className="beat-steps">
          <button type="button" aria-keyshortcuts="Shift+F" onClick={() => beatWholeCloth(table, -1)}>
            Looser
          </button>
          <button type="button" aria-keyshortcuts="F" onClick={() => beatWholeCloth(table, 1)}>
            Firmer <kbd aria-hidden>F</kbd>
          </button>
        </span>
      )}
    </div>
  );
}
