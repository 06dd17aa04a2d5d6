import type { ReactNode } from 'react';
import { ErrorBoundary } from 'react-error-boundary';

/** What goes wrong in one edge stays there. */
export function Fenced({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    <ErrorBoundary
      fallbackRender={({ error, resetErrorBoundary }) => (
        <div className="fence" role="alert">
          <p>{`The ${name} stopped: ${error instanceof Error ? error.message : String(error)}`}</p>
          <button type="button" onClick={resetErrorBoundary}>
            Try again
          </button>
        </div>
      )}
    >
      {children}
    </ErrorBoundary>
  );
}
