import { useSyncExternalStore } from 'react';

/** As `narrow.css`. */
const NARROW = '(max-width: 860px)';

/** Whether the page scrolls below the cloth, as on a telephone. */
export function isNarrow(): boolean {
  return window.matchMedia(NARROW).matches;
}

function followNarrow(onChange: () => void): () => void {
  const query = window.matchMedia(NARROW);
  query.addEventListener('change', onChange);
  return () => query.removeEventListener('change', onChange);
}

/** `isNarrow`, as the window changes. */
export function useNarrow(): boolean {
  return useSyncExternalStore(followNarrow, isNarrow);
}
