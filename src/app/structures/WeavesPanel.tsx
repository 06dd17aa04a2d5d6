import { useState } from 'react';
import { BlocksPart } from './BlocksPart.tsx';
import { LibraryPart } from './LibraryPart.tsx';
import { TrialPart } from './TrialPart.tsx';

const parts = [
  { id: 'library', words: 'Weaves of this loom' },
  { id: 'blocks', words: 'Blocks' },
  { id: 'trial', words: 'Trial strip' },
] as const;

type PartId = (typeof parts)[number]['id'];

/** What this loom weaves, figures in blocks, and a strip of trials. */
export default function WeavesPanel() {
  const [part, setPart] = useState<PartId>('library');
  return (
    <div className="plan-panel weaves">
      <fieldset className="tools" aria-label="Weaves">
        {parts.map(({ id, words }) => (
          <button key={id} type="button" aria-pressed={part === id} onClick={() => setPart(id)}>
            {words}
          </button>
        ))}
      </fieldset>
      {part === 'library' ? <LibraryPart /> : part === 'blocks' ? <BlocksPart /> : <TrialPart />}
    </div>
  );
}
