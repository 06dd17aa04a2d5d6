import { Fragment, lazy, Suspense, useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { ClothDrop } from './cloth/ClothDrop.tsx';
import { ClothPanel } from './cloth/ClothPanel.tsx';
import { ClothTold } from './cloth/ClothTold.tsx';
import { loadClothStage } from './cloth/loadClothStage.ts';
import { PaneEdges } from './cloth/PaneEdges.tsx';
import { PictureTrouble } from './cloth/PictureTrouble.tsx';
import { KeysDialog } from './keys/KeysDialog.tsx';
import { useKeptFocus } from './keys/useKeptFocus.ts';
import { useKeys } from './keys/useKeys.ts';
import { useClothThreads } from './model/clothThreads.ts';
import { useNarrow } from './model/narrow.ts';
import { TableContext, useTable, useTableState } from './model/tableContext.ts';
import type { TableModel } from './model/tableModel.ts';
import { BeatHead } from './table/BeatHead.tsx';
import { BeatWord } from './table/BeatWord.tsx';
import { BottomEdge } from './table/BottomEdge.tsx';
import { Drawers } from './table/Drawers.tsx';
import { Fenced } from './table/Fenced.tsx';
import { PickEdge } from './table/PickEdge.tsx';
import { Purpose } from './table/Purpose.tsx';
import { ReadingsPanel } from './table/ReadingsPanel.tsx';
import { WarpEdge } from './table/WarpEdge.tsx';
import { WorkWord } from './table/WorkWord.tsx';

/** The shelf's scripts wait for the cloth's: what a visitor came to see is fetched first. */
const YarnShelf = lazy(() =>
  loadClothStage().then(
    () => import('./table/YarnShelf.tsx'),
    () => import('./table/YarnShelf.tsx'),
  ),
);
const PickMenu = lazy(() => import('./table/PickMenu.tsx'));
const LiftPanel = lazy(() => import('./table/LiftPanel.tsx'));
const CutLines = lazy(() => import('./after/CutLines.tsx'));
const LayingPanel = lazy(() => import('./plan/LayingPanel.tsx'));

const parts = {
  shelf: (
    <Fenced name="yarns">
      <Suspense
        fallback={
          <section className="shelf" aria-busy="true" aria-label="Yarns">
            <Purpose on="wide" />
          </section>
        }
      >
        <YarnShelf />
      </Suspense>
    </Fenced>
  ),
  edges: <ThreadEdges />,
  readings: (
    <Fenced name="readings">
      <Figures />
    </Fenced>
  ),
  drawers: <Drawers />,
  tools: (
    <Fenced name="tools">
      <BottomEdge />
    </Fenced>
  ),
} as const;

/** As they are seen, so that reading and Tab go the same way; places are those of `table.css` and `narrow.css`. */
const roundTheCloth = ['shelf', 'edges', 'readings', 'drawers', 'tools'] as const;
const downThePage = ['edges', 'tools', 'shelf', 'readings', 'drawers'] as const;

/** The table: the cloth in the middle, everything else along its edges. */
export function App({ table }: { readonly table: TableModel }) {
  useKeys(table);
  useKeptFocus();
  const name = useStore(table.samples.state, (state) => state.sample.name);
  const unsaved = useStore(table.autosave.state, ({ reason }) => reason !== null);
  useEffect(() => {
    document.title = `${name}${unsaved ? ', not saved' : ''} – Forecloth`;
  }, [name, unsaved]);
  const narrow = useNarrow();
  return (
    <TableContext value={table}>
      <div className="table">
        <Purpose on="narrow" />
        {(narrow ? downThePage : roundTheCloth).map((part) => (
          <Fragment key={part}>{parts[part]}</Fragment>
        ))}
        <KeysDialog />
      </div>
    </TableContext>
  );
}

function ThreadEdges() {
  const threads = useClothThreads();
  return (
    <>
      <section className="warp-edge" aria-label="Warp">
        <div className="edge-words">
          <Fenced name="menu of picks">
            <PickMenuButton />
          </Fenced>
          <BeatHead />
        </div>
        {threads && (
          <Fenced name="ends">
            <WarpEdge threads={threads} />
          </Fenced>
        )}
      </section>
      <main className="cloth-edge">
        <h1 className="out-of-sight">Forecloth</h1>
        {threads ? (
          <Fenced name="picks">
            <PickEdge threads={threads} />
          </Fenced>
        ) : (
          <>
            <div />
            <div />
          </>
        )}
        <div className="cloth-place">
          <ClothDrop>
            <ClothPanel />
          </ClothDrop>
          <PaneEdges />
          <PictureTrouble />
          <Fenced name="lines of cut">
            <Cuts />
          </Fenced>
          <ClothTold />
          <WorkWord />
          <BeatWord />
          <Fenced name="lift">
            <Lift />
          </Fenced>
          <Fenced name="laying by hand">
            <ByHand />
          </Fenced>
        </div>
      </main>
    </>
  );
}

/** What is done to picks by hand, above their ribbon; the same menu opens on the picks themselves. */
function PickMenuButton() {
  const { ui } = useTable();
  const place = useTableState((state) => state.pickMenu);
  const buttonRef = useRef<HTMLButtonElement>(null);
  // Stays once it was opened, so that it can give the focus back as it closes.
  const [wanted, setWanted] = useState(false);
  if (place !== undefined && !wanted) setWanted(true);
  return (
    <>
      <button
        ref={buttonRef}
        type="button"
        className="pick-menu-button"
        aria-haspopup="menu"
        aria-expanded={place === 'button'}
        onClick={() => ui.getState().showPickMenu('button')}
      >
        Picks <span aria-hidden="true">▾</span>
      </button>
      {wanted && (
        <Suspense>
          <PickMenu buttonRef={buttonRef} />
        </Suspense>
      )}
    </>
  );
}

function Lift() {
  const shown = useTableState((state) => state.liftShown);
  return shown ? (
    <Suspense>
      <LiftPanel />
    </Suspense>
  ) : null;
}

/** Wefts laid by hand, and edges, of the picks chosen. */
function ByHand() {
  const shown = useTableState((state) => state.layingShown);
  return shown ? (
    <Suspense>
      <LayingPanel />
    </Suspense>
  ) : null;
}

/** Lines along which the cloth is cut, while what is done after the loom is open. */
function Cuts() {
  const shown = useTableState((state) => state.afterOpen);
  return shown ? (
    <Suspense>
      <CutLines />
    </Suspense>
  ) : null;
}

const noRemarks: readonly string[] = [];

function Figures() {
  const { forecast } = useTable();
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const remarks = useStore(forecast.state, (state) => state.cloth?.remarks);
  const status = useStore(forecast.state, (state) => state.status);
  const { lengthSystem, dialect } = useTableState((state) => state.preferences);
  const comparing = useTableState((state) => state.shown === 'kept');
  return (
    <ReadingsPanel
      comparing={comparing}
      readings={readings}
      system={lengthSystem}
      dialect={dialect}
      remarks={remarks ?? noRemarks}
      stale={status !== 'settled' && status !== 'idle'}
    />
  );
}
