import { lazy, Suspense, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { type ShelfYarn, shelfYarn } from '#app/model/shelfYarns.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { warpStaysWords } from '#app/model/weaving.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';
import { Shelf } from './Shelf.tsx';

const OwnYarnDialog = lazy(() => import('#app/yarn/OwnYarnDialog.tsx'));

/** The shelf as it stands for the sample on the table and what is selected. */
export default function YarnShelf() {
  const table = useTable();
  const { samples, ui } = table;
  const stock = useStore(table.stock, (state) => state.cards);
  const yarns = useStore(samples.state, (state) => state.sample.yarns);
  const picks = useStore(samples.state, (state) => state.sample.picks);
  const warpFixed = useStore(samples.state, (state) => state.sample.warp.fixed === true);
  const selection = useTableState((state) => state.selection);
  const chosenId = useTableState((state) => state.chosenYarnId);
  const [replacing, setReplacing] = useState('');
  const [ownShown, setOwnShown] = useState(false);

  const mine = useMemo(() => Object.values(yarns).map(shelfYarn), [yarns]);
  const rest = useMemo(() => stock?.filter((card) => !Object.hasOwn(yarns, card.id)).map(shelfYarn), [stock, yarns]);
  const selectedWefts = useMemo(() => {
    if (selection?.kind !== 'picks') return [];
    const chosen = picks.slice(selection.range.from, selection.range.to + 1);
    return [...new Set(chosen.flatMap((pick) => pick.passes.flatMap((pass) => pass.strands)))];
  }, [picks, selection]);
  const exchanged = selectedWefts.includes(replacing) ? replacing : undefined;

  function use(yarn: ShelfYarn) {
    if (selection) table.weaveWith(yarn.id, selection.kind, selection.range, exchanged);
    else if (Object.hasOwn(yarns, yarn.id)) ui.getState().chooseYarn(yarn.id === chosenId ? undefined : yarn.id);
    else
      ui.getState().say(`Select picks or ends first, or drag ${yarn.name} onto them.`, {
        goesWith: ['selection', 'sample'],
      });
  }

  const count = selection ? selection.range.to - selection.range.from + 1 : 0;
  const things =
    selection?.kind === 'ends'
      ? counted(count, 'end', 'ends', formatNumber)
      : counted(count, 'pick', 'picks', formatNumber);
  let useHint = 'Drag a yarn onto picks, or select picks and click a yarn.';
  if (selection?.kind === 'ends' && warpFixed) useHint = warpStaysWords;
  else if (selection) useHint = `A click or Enter weaves the yarn into the ${things} selected.`;
  return (
    <Shelf
      yarns={mine}
      stock={rest}
      onStock={() => void table.fetchStock()}
      chosenId={chosenId}
      useHint={useHint}
      onUse={use}
      onDetails={(id) => ui.getState().chooseYarn(id)}
      own={
        <>
          <button type="button" className="own-yarn-button" aria-haspopup="dialog" onClick={() => setOwnShown(true)}>
            A yarn of your own…
          </button>
          {ownShown && (
            <Suspense>
              <OwnYarnDialog onClose={() => setOwnShown(false)} />
            </Suspense>
          )}
        </>
      }
    >
      {selectedWefts.length > 1 && (
        <label className="replacing">
          In place of{' '}
          <select value={exchanged ?? ''} onChange={(event) => setReplacing(event.target.value)}>
            <option value="">every weft there</option>
            {selectedWefts.map((id) => (
              <option key={id} value={id}>
                {yarns[id]?.name ?? id}
              </option>
            ))}
          </select>
        </label>
      )}
    </Shelf>
  );
}
