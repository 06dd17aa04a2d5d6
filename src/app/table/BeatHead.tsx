import { beatWholeCloth } from '#app/model/beatActions.ts';
import { useTable } from '#app/model/tableContext.ts';

/** Over the trace: which way is firmer; a press beats the whole cloth so by one step. */
export function BeatHead() {
  const table = useTable();
  return (
    <fieldset className="beat-head" aria-label="Beat of the whole cloth">
      <span aria-hidden="true">Beat</span>
      <span className="ends-of-scale">
        <button
          type="button"
          title="Beat the whole cloth looser (Shift F)"
          aria-label="Beat the whole cloth looser"
          aria-keyshortcuts="Shift+F"
          onClick={() => beatWholeCloth(table, -1)}
        >
          looser
        </button>
        <button
          type="button"
          title="Beat the whole cloth firmer (F)"
          aria-label="Beat the whole cloth firmer"
          aria-keyshortcuts="F"
          onClick={() => beatWholeCloth(table, 1)}
        >
          firmer
        </button>
      </span>
    </fieldset>
  );
}
