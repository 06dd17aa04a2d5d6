import { Activity, type ComponentType, lazy, Suspense, useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { isNarrow } from '#app/model/narrow.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { PlanPart } from '#app/model/tableState.ts';
import { PictureProgress } from '#app/picture/PictureProgress.tsx';
import { WeavingPlanButton } from '#app/weavingPlan/WeavingPlanButton.tsx';
import { word } from '#app/words/words.ts';
import { Fenced } from './Fenced.tsx';
import { Notice } from './Notice.tsx';

const DraftDrawer = lazy(() => import('#app/draft/DraftDrawer.tsx'));
const ReedPanel = lazy(() => import('#app/plan/ReedPanel.tsx'));
const YarnPanel = lazy(() => import('#app/plan/YarnPanel.tsx'));
const SwatchPanel = lazy(() => import('#app/swatch/SwatchPanel.tsx'));
const WeavesPanel = lazy(() => import('#app/structures/WeavesPanel.tsx'));
const ChecksPanel = lazy(() => import('#app/checks/ChecksPanel.tsx'));
const AfterLoomPanel = lazy(() => import('#app/after/AfterLoomPanel.tsx'));

const planHandles: readonly {
  readonly part: PlanPart;
  readonly words: string;
  readonly does: string;
  readonly key: string;
}[] = [
  { part: 'weaves', words: 'Weaves', does: 'What this loom weaves, blocks, a trial strip', key: 'W' },
  { part: 'reed', words: 'Reed, beat', does: 'Reed, wanted picks, pauses', key: 'R' },
  { part: 'yarn', words: 'Yarn, time', does: 'What the piece takes of yarn, warp and time', key: 'Y' },
  {
    part: 'swatch',
    words: 'Half way, swatch',
    does: 'Half way up, and what was measured on your own swatch',
    key: 'H',
  },
  { part: 'checks', words: 'Checks', does: 'Checks, what a loom can weave, what if', key: 'X' },
];

const planPanels = {
  weaves: WeavesPanel,
  reed: ReedPanel,
  yarn: YarnPanel,
  swatch: SwatchPanel,
  checks: ChecksPanel,
} as const;

/**
 * A drawer that has been open once stays laid out of sight, and so keeps what was chosen in it; out of sight it follows
 * nothing. The draft is none of them: it opens at the place looked at.
 */
function KeptDrawer(props: { readonly name: string; readonly shown: boolean; readonly Panel: ComponentType }) {
  const { name, shown, Panel } = props;
  const [wanted, setWanted] = useState(shown);
  if (shown && !wanted) setWanted(true);
  if (!wanted) return null;
  return (
    <Activity mode={shown ? 'visible' : 'hidden'}>
      <Fenced name={name}>
        <Suspense fallback={<p className="soft">Opening…</p>}>
          <Panel />
        </Suspense>
      </Fenced>
    </Activity>
  );
}

/** What slides up from under the cloth, one at a time, and the messages beside their handles. */
export function Drawers() {
  const { ui, samples } = useTable();
  const treadled = useStore(samples.state, (state) => state.sample.loom.control.kind === 'treadles');
  const open = useTableState((state) => state.drawerOpen);
  const afterOpen = useTableState((state) => state.afterOpen);
  const planOpen = useTableState((state) => state.planOpen);
  const dialect = useTableState((state) => state.preferences.dialect);
  const sectionRef = useRef<HTMLElement>(null);
  const laidRef = useRef(false);
  const shown = open ? 'draft' : afterOpen ? 'after' : planOpen;
  useEffect(() => {
    // On a narrow screen the page scrolls, and the drawers lie far below what opened them.
    const pageScrolls = isNarrow();
    if (laidRef.current && shown && pageScrolls) sectionRef.current?.scrollIntoView({ block: 'start' });
    laidRef.current = true;
  }, [shown]);
  return (
    <section ref={sectionRef} className="draft-drawer" aria-label="Draft, after the loom, and planning">
      <div className="draft-row">
        <button
          type="button"
          className="draft-handle"
          aria-expanded={open}
          aria-keyshortcuts="D"
          onClick={() => ui.getState().toggleDrawer()}
        >
          Draft
          <span className="draft-words">{`: threading, ${treadled ? 'tie-up, treadling' : word('liftPlan', dialect)}, drawdown`}</span>{' '}
          <kbd aria-hidden>D</kbd>
        </button>
        <button
          type="button"
          className="draft-handle"
          aria-expanded={afterOpen}
          aria-keyshortcuts="A"
          onClick={() => ui.getState().toggleAfter()}
        >
          After the loom <kbd aria-hidden>A</kbd>
        </button>
        {planHandles.map(({ part, words, does, key }) => (
          <button
            key={part}
            type="button"
            className="draft-handle"
            title={`${does} (${key})`}
            aria-expanded={planOpen === part}
            aria-keyshortcuts={key}
            onClick={() => ui.getState().togglePlan(part)}
          >
            {words} <kbd aria-hidden>{key}</kbd>
          </button>
        ))}
        <WeavingPlanButton />
        <PictureProgress />
        <Notice />
      </div>
      {open && (
        <Fenced name="draft">
          <Suspense fallback={<p className="soft">Opening…</p>}>
            <DraftDrawer />
          </Suspense>
        </Fenced>
      )}
      {planHandles.map(({ part }) => (
        <KeptDrawer key={part} name="plan" shown={planOpen === part} Panel={planPanels[part]} />
      ))}
      <KeptDrawer name="treatments" shown={afterOpen} Panel={AfterLoomPanel} />
    </section>
  );
}
