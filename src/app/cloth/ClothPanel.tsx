import { lazy, Suspense, useEffect, useId, useRef, useState } from 'react';
import { ErrorBoundary } from 'react-error-boundary';
import { useStore } from 'zustand';
import { sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { clothWords } from './clothWords.ts';
import { FlatCloth } from './FlatCloth.tsx';
import { hasWebGl2 } from './hasWebGl2.ts';
import { loadClothStage } from './loadClothStage.ts';
import { useClothGestures } from './useClothGestures.ts';

const ClothStage = lazy(loadClothStage);

/** The cloth: in the round where the machine can draw it, else flat with the reason. */
export function ClothPanel() {
  const table = useTable();
  const { ui } = table;
  const panelRef = useRef<HTMLDivElement>(null);
  const [able] = useState(hasWebGl2);

  const side = useTableState((state) => sideOf(state.pose));
  const name = useStore(table.samples.state, (state) => state.sample.name);
  const words = useTableState((state) => clothWords(name, state));
  const keysId = useId();
  const picture = useTableState((state) => state.picture);
  const shown = useTableState((state) => state.shown);
  const lensed = useTableState((state) => state.lensAt !== undefined);
  useClothGestures(panelRef, ui);

  useEffect(() => {
    const panel = panelRef.current;
    if (!panel) return;
    const measure = () => ui.getState().setSize({ widthPx: panel.clientWidth, heightPx: panel.clientHeight });
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(panel);
    if (!able) {
      ui.getState().setPicture(
        'impossible',
        'This browser or its graphics driver does not offer WebGL 2, which drawing in the round needs.',
      );
    }
    return () => observer.disconnect();
  }, [ui, able]);

  return (
    <div
      ref={panelRef}
      className="cloth-panel"
      role="application"
      aria-roledescription="cloth"
      aria-label={words}
      aria-describedby={keysId}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the cloth is tilted and moved by keys
      tabIndex={0}
    >
      <p id={keysId} className="out-of-sight">
        {`${lensed ? 'Arrows move the lens, Escape puts it away' : 'Arrows tilt it'}, Shift and arrows move along it, plus and minus come nearer, T turns it over.`}
      </p>
      {!able || picture === 'impossible' ? (
        <FlatCloth />
      ) : (
        <ErrorBoundary
          fallback={null}
          onError={(error) =>
            ui.getState().setPicture('impossible', `Drawing in the round stopped: ${messageOf(error)}`)
          }
        >
          <Suspense fallback={null}>
            <ClothStage table={table} />
          </Suspense>
        </ErrorBoundary>
      )}
      {shown === 'one' && <p className="side-word">{side === 'face' ? 'Face' : 'Back'}</p>}
    </div>
  );
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
