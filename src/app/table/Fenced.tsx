import type { ReactNode } from 'react';
import { ErrorBoundary } from 'react-error-boundary';

/** What goes wrong in one edge stays there. A part that could not be fetched does not come by trying again: the page must be loaded anew. */
export function Fenced({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    <ErrorBoundary
      fallbackRender={({ error, resetErrorBoundary }) => {
        const message = error instanceof Error ? error.message : String(error);
        const unfetched = notFetched.test(message);
        return (
          <div className="fence" role="alert">
            <p>
              {unfetched
                ? `The ${name} could not be fetched: the server of this page does not answer, or has been given another version since. See that it runs (npm start), then load the page again. Your work is kept in this browser and will still be there.`
                : `The ${name} stopped: ${message}`}
            </p>
            <button type="button" onClick={unfetched ? () => window.location.reload() : resetErrorBoundary}>
              {unfetched ? 'Load the page again' : 'Try again'}
            </button>
          </div>
        );
      }}
    >
      {children}
    </ErrorBoundary>
  );
}

/** How browsers say that a script of the page did not come. */
const notFetched = /dynamically imported module|importing a module script failed|unable to preload/i;
