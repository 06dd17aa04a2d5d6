import { useStore } from 'zustand';
import { commandKey } from '#app/keys/keyList.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { TableStore } from '#app/model/tableState.ts';
import { turnOver } from '#app/model/turning.ts';
import { PictureTools } from '#app/picture/PictureTools.tsx';
import { formatNumber } from '#app/words/numbers.ts';
import { loomWords } from './loomWords.ts';
import { SampleChooser } from './SampleChooser.tsx';
import { SeeingTools } from './SeeingTools.tsx';
import { Versions } from './Versions.tsx';

/** Everything that is not the cloth, its threads or its figures: view, versions, undo, files, the loom in a line. */
export function BottomEdge() {
  return (
    <footer className="bottom-edge">
      <div className="bottom-row">
        <ViewTools />
        <HistoryTools />
        <Versions />
      </div>
      <div className="bottom-row">
        <SeeingTools />
      </div>
      <div className="bottom-row">
        <LoomLine />
        <FileTools />
        <ReaderTools />
      </div>
    </footer>
  );
}

const views: readonly {
  readonly words: string;
  readonly does: string;
  readonly key: string;
  show(ui: TableStore): void;
}[] = [
  { words: 'Square', does: 'Look square on', key: '1', show: (ui) => ui.getState().showPreset('square') },
  { words: 'Turned', does: 'Look with the cloth turned', key: '2', show: (ui) => ui.getState().showPreset('turned') },
  { words: 'Low', does: 'Look low along the cloth', key: '3', show: (ui) => ui.getState().showPreset('low') },
  { words: 'Whole', does: 'Bring the whole cloth into view', key: '0', show: (ui) => ui.getState().fit() },
];

function ViewTools() {
  const table = useTable();
  const { ui } = table;
  return (
    <fieldset className="tools" aria-label="View">
      <button type="button" className="strong" title="Turn over (T)" aria-keyshortcuts="T" onClick={() => turnOver(ui)}>
        Turn over <kbd aria-hidden>T</kbd>
      </button>
      {views.map(({ words, does, key, show }) => (
        <button key={key} type="button" title={`${does} (${key})`} aria-keyshortcuts={key} onClick={() => show(ui)}>
          {words}
        </button>
      ))}
    </fieldset>
  );
}

function HistoryTools() {
  const { samples } = useTable();
  const undoName = useStore(samples.state, (state) => state.undoName);
  const redoName = useStore(samples.state, (state) => state.redoName);
  return (
    <fieldset className="tools" aria-label="History">
      <button
        type="button"
        disabled={undoName === null}
        title={`${undoName === null ? 'Undo' : `Undo: ${undoName}`} (${commandKey} Z)`}
        onClick={() => samples.undo()}
        aria-label={undoName === null ? 'Undo' : `Undo: ${undoName}`}
      >
        Undo
      </button>
      <button
        type="button"
        disabled={redoName === null}
        title={`${redoName === null ? 'Redo' : `Redo: ${redoName}`} (${commandKey} Shift Z)`}
        onClick={() => samples.redo()}
        aria-label={redoName === null ? 'Redo' : `Redo: ${redoName}`}
      >
        Redo
      </button>
    </fieldset>
  );
}

function FileTools() {
  const table = useTable();
  const saved = useStore(table.autosave.state);
  return (
    <fieldset className="tools" aria-label="Sample">
      <SampleChooser />
      <button type="button" title={`Open a file (${commandKey} O)`} onClick={() => void table.openFile()}>
        Open…
      </button>
      <button type="button" title={`Save to a file (${commandKey} S)`} onClick={() => void table.saveFile()}>
        Save…
      </button>
      <PictureTools />
      {!saved.reason && (
        <span className="soft saved-word">
          {saved.status === 'saving' ? 'Saving in this browser…' : 'Saved in this browser'}
        </span>
      )}
      {/* Every step is saved: only that one is not is worth being spoken. */}
      <span role="status" className="trouble saved-word">
        {saved.reason}
      </span>
      {saved.status === 'displaced' && (
        <button type="button" onClick={() => void table.autosave.saveAsCopy()}>
          Save as a copy
        </button>
      )}
    </fieldset>
  );
}

function LoomLine() {
  const { samples } = useTable();
  const loom = useStore(samples.state, (state) => state.sample.loom);
  const warp = useStore(samples.state, (state) => state.sample.warp);
  return (
    <p className="pushed loom-line">
      <strong>{loom.name}</strong>
      {`, ${loomWords(loom)}; ${formatNumber(warp.ends)} ends`}
      {warp.fixed ? ', warp fixed' : ''}. <span className="soft">As it is on the loom.</span>
    </p>
  );
}

/** What suits the reader rather than the sample. */
function ReaderTools() {
  const { ui } = useTable();
  const lengthSystem = useTableState((state) => state.preferences.lengthSystem);
  return (
    <fieldset className="tools" aria-label="Reader">
      <label className="soft">
        Lengths in{' '}
        <select
          value={lengthSystem}
          onChange={(event) => ui.getState().prefer({ lengthSystem: event.target.value === 'inch' ? 'inch' : 'cm' })}
        >
          <option value="cm">cm</option>
          <option value="inch">inches</option>
        </select>
      </label>
      <button type="button" onClick={() => ui.getState().showKeys(true)}>
        Keys <kbd aria-hidden>?</kbd>
      </button>
    </fieldset>
  );
}
