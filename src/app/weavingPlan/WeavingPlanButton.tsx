import { lazy, Suspense, useState } from 'react';

const WeavingPlanDialog = lazy(() => import('./WeavingPlanDialog.tsx'));

/** Opens the sheet that goes to the loom. */
export function WeavingPlanButton() {
  const [shown, setShown] = useState(false);
  return (
    <>
      <button
        type="button"
        className="plan-button"
        aria-haspopup="dialog"
        title="The weaving plan for paper: threading, tie-up, wefts and every pick"
        onClick={() => setShown(true)}
      >
        Plan…
      </button>
      {shown && (
        <Suspense>
          <WeavingPlanDialog onClose={() => setShown(false)} />
        </Suspense>
      )}
    </>
  );
}
