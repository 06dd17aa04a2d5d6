import { Activity, useState } from 'react';
import { BlocksPart } from './BlocksPart.tsx';
import { LibraryPart } from './LibraryPart.tsx';
import { TrialPart } from './TrialPart.tsx';
import { WarpPart } from './WarpPart.tsx';

const parts = [
  { id: 'library', words: 'Weaves of this loom' },
  { id: 'blocks', words: 'Blocks' },
  { id: 'trial', words: 'Trial strip' },
  { id: 'warp', words: 'Warp' },
] as const;

type PartId = (typeof parts)[number]['id'];

const shownParts = { library: LibraryPart, blocks: BlocksPart, trial: TrialPart, warp: WarpPart } as const;

/** What this loom weaves, figures in blocks, and a strip of trials. */
export default function WeavesPanel() {
  const [part, setPart] = useState<PartId>('library');
  // What was planned in a part stays while another is looked at.
  const [opened, setOpened] = useState<readonly PartId[]>(['library']);
  function show(id: PartId) {
    setPart(id);
    if (!opened.includes(id)) setOpened([...opened, id]);
  }

  return (
    <div className="plan-panel weaves">
      <fieldset className="tools" aria-label="Weaves">
        {parts.map(({ id, words }) => (
          <button key={id} type="button" aria-pressed={part === id} onClick={() => show(id)}>
            {words}
          </button>
        ))}
      </fieldset>
      {opened.map((id) => {
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
