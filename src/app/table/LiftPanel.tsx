import { type KeyboardEvent, useEffect, useRef } from 'react';
import { useStore } from 'zustand';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { liftLimit } from '#document/check/checkSample.ts';
import { type Command, spanInWords } from '#document/commands/command.ts';
import { liftOne, oppositeLift } from '#document/commands/pickCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

/**
 * The lift of the picks chosen, shaft by shaft or treadle by treadle, beside them over the cloth. It stays while other
 * picks are chosen: left and right go along the shafts, up and down from pick to pick.
 */
export default function LiftPanel() {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  useTableState((state) => state.selection);
  useTableState((state) => state.cursorPick);
  const panelRef = useRef<HTMLElement>(null);
  const picks = pickTarget(table);
  const chosen = sample.picks.slice(picks.from - 1, picks.to);
  const { most, thing } = liftLimit(sample);
  const words = spanInWords('pick', picks);

  useEffect(() => panelRef.current?.querySelector<HTMLElement>('.lift-set button')?.focus(), []);

  function close() {
    ui.getState().showLift(false);
    document.querySelector<HTMLElement>('.ribbon-picks')?.focus();
  }

  function change(command: Command) {
    const refusal = samples.dispatch(command);
    if (refusal) ui.getState().say(refusal.message);
  }

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    const along = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    const up = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    if (event.key === 'Escape') close();
    else if (along !== 0) {
      const buttons = [...event.currentTarget.querySelectorAll<HTMLElement>('.lift-set button')];
      const at = buttons.indexOf(document.activeElement as HTMLElement);
      buttons[Math.min(Math.max(at + along, 0), buttons.length - 1)]?.focus();
    } else if (up !== 0) {
      const pick = Math.min(Math.max((up > 0 ? picks.to : picks.from) - 1 + up, 0), sample.picks.length - 1);
      ui.getState().setCursor('picks', pick);
      ui.getState().select({ kind: 'picks', range: { from: pick, to: pick } });
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }

  const numbers = Array.from({ length: most }, (_, i) => i + 1);
  return (
    <section
      ref={panelRef}
      className="lift-panel"
      aria-label={`${thing === 'shaft' ? 'Lift' : 'Treadles'} of ${words}`}
      onKeyDown={onKeyDown}
    >
      <div className="lift-head">
        <h2>{`${thing === 'shaft' ? 'Shafts up' : 'Treadles pressed'}, ${words}`}</h2>
        <button type="button" onClick={close}>
          Close <kbd>Esc</kbd>
        </button>
      </div>
      <fieldset className="lift-set" aria-label={thing === 'shaft' ? 'Shafts' : 'Treadles'}>
        {numbers.map((number) => {
          const count = chosen.filter((pick) => pick.lift.includes(number)).length;
          const all = count === chosen.length;
          return (
            <button
              key={number}
              type="button"
              aria-label={`${thing === 'shaft' ? 'Shaft' : 'Treadle'} ${number}`}
              aria-pressed={all ? true : count > 0 ? 'mixed' : false}
              onClick={() => change(liftOne({ picks, number, up: !all }))}
            >
              {number}
            </button>
          );
        })}
      </fieldset>
      <p className="soft">{thing === 'treadle' ? raisedWords(sample, chosen) : spreadWords(chosen)}</p>
      {thing === 'shaft' && (
        <p>
          <button type="button" onClick={() => change(oppositeLift(picks))}>
            Opposite
          </button>
        </p>
      )}
    </section>
  );
}

/** Which shafts the treadles of one pick move, as tied. */
function raisedWords(sample: Sample, chosen: Sample['picks']): string {
  const { control } = sample.loom;
  const tieUp = sample.warp.tieUp ?? [];
  const sets = new Set(
    chosen.map(({ lift }) =>
      [...new Set(lift.flatMap((treadle) => tieUp[treadle - 1] ?? []))].sort((a, b) => a - b).join(' '),
    ),
  );
  if (sets.size !== 1) return 'They move different shafts; striped treadles are pressed in some picks only.';
  const [shafts] = sets;
  const moves = control.kind === 'treadles' && control.action === 'sinking' ? 'sinks' : 'raises';
  return shafts === ''
    ? 'No shaft moves.'
    : `As tied, this ${moves} ${shafts.includes(' ') ? 'shafts' : 'shaft'} ${shafts}.`;
}

function spreadWords(chosen: Sample['picks']): string {
  const alike = chosen.every(({ lift }) => lift.join() === chosen[0].lift.join());
  if (!alike) return 'They lift differently; striped shafts are up in some picks only.';
  return chosen[0].lift.length === 0
    ? 'No shaft is up: there is no shed.'
    : 'Each change is woven at once; undo takes it back.';
}
