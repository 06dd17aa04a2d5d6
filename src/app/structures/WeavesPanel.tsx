import { Activity, useState } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { BlocksPart } from './BlocksPart.tsx';
import { LibraryPart } from './LibraryPart.tsx';
import { TreadlingPart } from './TreadlingPart.tsx';
import { TrialPart } from './TrialPart.tsx';
import { WarpPart } from './WarpPart.tsx';

const parts = [
  { id: 'library', words: 'Weaves of this loom' },
  { id: 'treadling', words: 'Treadling' },
  { id: 'blocks', words: 'Blocks' },
  { id: 'trial', words: 'Trial strip' },
  { id: 'warp', words: 'Warp' },
] as const;

type PartId = (typeof parts)[number]['id'];

const shownParts = {
  library: LibraryPart,
  treadling: TreadlingPart,
  blocks: BlocksPart,
  trial: TrialPart,
  warp: WarpPart,
} as const;

/** What this loom weaves, its treadles in any order, figures in blocks, and a strip of trials. */
export default function WeavesPanel() {
  const { samples } = useTable();
  const treadled = useStore(samples.state, (state) => state.sample.loom.control.kind === 'treadles');
  const [chosen, setPart] = useState<PartId>('library');
  // What was planned in a part stays while another is looked at.
  const [opened, setOpened] = useState<readonly PartId[]>(['library']);
  const offered = parts.filter(({ id }) => treadled || id !== 'treadling');
  // Another loom may have come in the place of one with treadles.
  const part = offered.some(({ id }) => id === chosen) ? chosen : 'library';
  function show(id: PartId) {
    setPart(id);
    if (!opened.includes(id)) setOpened([...opened, id]);
  }

  return (
    <div className="plan-panel weaves">
      <fieldset className="tools" aria-label="Weaves">
        {offered.map(({ id, words }) => (
          <button key={id} type="button" aria-pressed={part === id} onClick={() => show(id)}>
            {words}
          </button>
        ))}
      </fieldset>
      {opened
        .filter((id) => offered.some((each) => each.id === id))
        .map((id) => {
          const Part = shownParts[id];
          return (
            <Activity key={id} mode={id === part ? 'visible' : 'hidden'}>
              <Part />
            </Activity>
          );
        })}
    </div>
  );
}
