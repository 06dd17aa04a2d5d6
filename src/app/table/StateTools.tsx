import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { FINISHES, finishCaution, STATES } from '#app/words/stateWords.ts';
import { setFinish } from '#document/commands/sampleCommands.ts';
import { Choice } from './Choice.tsx';

/** In which state the cloth is shown and read, and how it is finished. */
export function StateTools() {
  const { ui, samples } = useTable();
  const state = useTableState((table) => table.clothState);
  const finish = useStore(samples.state, ({ sample }) => sample.finish);
  const treatment = finish?.treatment ?? 'none';
  const caution = state === 'finished' ? finishCaution(treatment) : undefined;
  return (
    <fieldset className="state" aria-label="State">
      <Choice
        name="State"
        value={state}
        options={STATES}
        keyShown="S"
        onChoose={(chosen) => ui.getState().showState(chosen)}
      />
      <Choice
        name="Finish"
        value={treatment}
        options={FINISHES}
        onChoose={(chosen) => {
          const kept = finish ?? {};
          const refusal = samples.dispatch(setFinish(chosen === 'none' ? null : { ...kept, treatment: chosen }));
          if (refusal) ui.getState().say(refusal.message);
          else if (chosen !== 'none') ui.getState().showState('finished');
        }}
      />
      {caution && <span className="caution">{caution}</span>}
    </fieldset>
  );
}
