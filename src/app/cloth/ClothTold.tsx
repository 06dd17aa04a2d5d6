import { useEffect, useRef, useState } from 'react';
import { useTableState } from '#app/model/tableContext.ts';
import { STATE_WORDS } from '#app/words/stateWords.ts';
import { capital } from '#app/words/words.ts';
import { sideWords } from './clothWords.ts';

/** A hand on a key may go on to the next at once: only where it rests is told, ms. */
const REST_MS = 500;
/** As long as it may be read out once more, ms. */
const TOLD_MS = 6000;

/**
 * Spoken, not seen: the side that is turned to the eye and the state that the cloth is looked at in, as they change. Light and
 * distance have messages of their own, and a list that is open says itself what was chosen.
 */
export function ClothTold() {
  const side = useTableState(sideWords);
  const state = useTableState((all) => STATE_WORDS[all.clothState]);
  const beforeRef = useRef({ side, state });
  const [words, setWords] = useState('');
  useEffect(() => {
    const resting = setTimeout(() => {
      const before = beforeRef.current;
      beforeRef.current = { side, state };
      if (document.activeElement instanceof HTMLSelectElement) return;
      const changed = [side !== before.side && side, state !== before.state && state].filter((each) => each !== false);
      if (changed.length > 0) setWords(`${capital(changed.join(', '))}.`);
    }, REST_MS);
    return () => clearTimeout(resting);
  }, [side, state]);
  useEffect(() => {
    if (words === '') return undefined;
    const timer = setTimeout(() => setWords(''), TOLD_MS);
    return () => clearTimeout(timer);
  }, [words]);
  return (
    <p className="out-of-sight cloth-told" role="status">
      {words}
    </p>
  );
}
