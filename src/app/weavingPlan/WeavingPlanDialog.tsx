import { useMemo, useState } from 'react';
import { createPortal } from 'react-dom';
import { useStore } from 'zustand';
import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { versionOnTable } from '#document/sameSample.ts';
import { weavingList } from '#document/weavingList.ts';
import { DraftPart } from './DraftPart.tsx';
import { LoomPart } from './LoomPart.tsx';
import { PickList } from './PickList.tsx';
import { SizesPart } from './SizesPart.tsx';
import { TieUpTable } from './TieUpTable.tsx';
import { WeftsPart } from './WeftsPart.tsx';

/** What is taken to the loom on paper: how it is set up, the wefts by their letters, and every pick in its turn. */
export default function WeavingPlanDialog({ onClose }: { readonly onClose: () => void }) {
  const { samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const [inFull, setInFull] = useState(false);
  const list = useMemo(() => weavingList(sample, !inFull), [sample, inFull]);
  const version = sample.versions[versionOnTable(sample)]?.name;
  // Beside the table, not within it: on paper the table is left out.
  return createPortal(
    <ModalDialog
      title={`To weave: ${sample.name}${version ? `, ${version}` : ''}`}
      className="weaving-plan"
      onClose={onClose}
    >
      {(close) => (
        <>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it is scrolled by keys */}
          <section className="dialog-body" tabIndex={0} aria-label="The plan">
            <LoomPart sample={sample} />
            <div className="plan-facts">
              {sample.loom.control.kind === 'treadles' && <TieUpTable sample={sample} />}
              <div>
                <WeftsPart sample={sample} wefts={list.wefts} />
                <SizesPart />
              </div>
            </div>
            <DraftPart sample={sample} items={list.items} />
            <PickList sample={sample} items={list.items} inFull={inFull} onInFull={setInFull} />
          </section>
          <div className="dialog-foot">
            <button type="button" className="strong" onClick={() => window.print()}>
              Print…
            </button>
            <button type="button" onClick={close}>
              Close
            </button>
            <span className="soft">The browser’s print dialog also writes it as a PDF.</span>
          </div>
        </>
      )}
    </ModalDialog>,
    document.body,
  );
}
