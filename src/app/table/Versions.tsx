import { useEffect, useMemo, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { showKept } from '#app/model/beside.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { deleteVersion, renameVersion, restoreVersion } from '#document/commands/versionCommands.ts';
import { versionOnTable } from '#document/sameSample.ts';
import { VersionName } from './VersionName.tsx';

/** Whole samples kept beside this one; taking one up can be undone like anything else. */
export function Versions() {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const comparing = useTableState((state) => state.shown === 'kept');
  const [asked, setAsked] = useState<'name' | 'discard' | undefined>(undefined);
  const keptRef = useRef<HTMLDivElement>(null);
  const count = sample.versions.length;
  const countRef = useRef(count);
  const some = count > 0;
  const discarding = asked === 'discard' && some;
  const naming = asked === 'name' && some;
  const busy = discarding || naming;
  const current = useMemo(() => versionOnTable(sample), [sample]);

  useEffect(() => {
    if (!busy) return undefined;
    // Before the page's own keys, for which Escape means something else.
    const leave = (event: KeyboardEvent) => {
      if (event.key !== 'Escape' || document.querySelector('dialog[open]')) return;
      event.preventDefault();
      const typing = document.activeElement;
      // What was typed and not yet taken goes with it.
      if (typing instanceof HTMLInputElement) typing.value = typing.defaultValue;
      setAsked(undefined);
    };
    window.addEventListener('keydown', leave, true);
    return () => window.removeEventListener('keydown', leave, true);
  }, [busy]);

  useEffect(() => {
    const kept = keptRef.current;
    // The one kept last, while there is one more than before; else the one on the table.
    const button = kept?.children[count > countRef.current ? count - 1 : current];
    countRef.current = count;
    if (kept && button) bringIntoView(kept, button);
  }, [count, current]);

  function use(index: number) {
    const { name } = sample.versions[index];
    const refusal = samples.dispatch(discarding ? deleteVersion(index + 1) : restoreVersion(index + 1));
    if (refusal) ui.getState().say(refusal.message);
    else if (discarding) ui.getState().say(`"${name}" is discarded. Undo brings it back.`);
    else if (current < 0)
      ui.getState().say(
        `"${name}" is on the table. What was there was not kept: Undo brings it back; then Keep this keeps it.`,
      );
    setAsked(undefined);
  }

  function rename(index: number, name: string): boolean {
    const refusal = samples.dispatch(renameVersion({ version: index + 1, name }));
    if (refusal) ui.getState().say(refusal.message);
    return refusal === null;
  }

  return (
    <fieldset className="tools versions" aria-label="Kept beside">
      <span className="soft">Kept beside</span>
      <div className="versions-kept" ref={keptRef}>
        {sample.versions.map((version, index) =>
          naming ? (
            <VersionName
              key={version.name}
              name={version.name}
              first={index === Math.max(current, 0)}
              onName={(name) => rename(index, name)}
              onDone={() => setAsked(undefined)}
            />
          ) : (
            <button
              key={version.name}
              type="button"
              aria-pressed={!discarding && index === current}
              title={version.note}
              onClick={() => use(index)}
            >
              {discarding ? `Discard ${version.name}` : version.name}
            </button>
          ),
        )}
      </div>
      {!busy && (
        <button
          type="button"
          title="Keep this cloth beside the others (K)"
          aria-keyshortcuts="K"
          onClick={() => table.keepVersion()}
        >
          Keep this
        </button>
      )}
      {some && !busy && (
        <button
          type="button"
          title="Compare with the versions kept beside (C)"
          aria-pressed={comparing}
          aria-keyshortcuts="C"
          onClick={() => showKept(ui, sample)}
        >
          Compare <kbd aria-hidden>C</kbd>
        </button>
      )}
      {some && !discarding && (
        <button type="button" aria-pressed={naming} onClick={() => setAsked(naming ? undefined : 'name')}>
          {naming ? 'Names are right' : 'Name…'}
        </button>
      )}
      {some && !naming && (
        <button type="button" aria-pressed={discarding} onClick={() => setAsked(discarding ? undefined : 'discard')}>
          {discarding ? 'Discard none' : 'Discard…'}
        </button>
      )}
    </fieldset>
  );
}

/** Sideways alone: the page itself must not move. */
function bringIntoView(kept: Element, button: Element): void {
  const frame = kept.getBoundingClientRect();
  const box = button.getBoundingClientRect();
  if (box.right > frame.right) kept.scrollLeft += box.right - frame.right;
  else if (box.left < frame.left) kept.scrollLeft -= frame.left - box.left;
}
