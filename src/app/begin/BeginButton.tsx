import { lazy, Suspense, useState } from 'react';

const BeginDialog = lazy(() => import('./BeginDialog.tsx'));

/** Opens the way to a new sample on a loom of the room. */
export function BeginButton({ words }: { readonly words: string }) {
  const [shown, setShown] = useState(false);
  return (
    <>
      <button type="button" title="A new sample on a loom of the room" onClick={() => setShown(true)}>
        {words}
      </button>
      {shown && (
        <Suspense fallback={null}>
          <BeginDialog onClose={() => setShown(false)} />
        </Suspense>
      )}
    </>
  );
}
