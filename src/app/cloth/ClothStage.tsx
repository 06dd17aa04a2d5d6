import { createRoot, type ReconcilerRoot } from '@react-three/fiber';
import { useEffect, useRef } from 'react';
import { ErrorBoundary } from 'react-error-boundary';
import type { TableModel } from '#app/model/tableModel.ts';
import { ClothPicture } from './ClothPicture.tsx';

/** Beyond two device pixels to a CSS pixel the eye gains nothing that the time would not be better spent on. */
const mostPixelRatio = 2;

/**
 * Holds the canvas and the root that draws into it. The canvas is made anew at every mount: a context once given up
 * does not come back, and in development every part mounts twice.
 */
export default function ClothStage({ table }: { readonly table: TableModel }) {
  const hostRef = useRef<HTMLDivElement>(null);

  useEffect(() => {
    const host = hostRef.current;
    if (!host) return;
    const { ui } = table;
    const canvas = document.createElement('canvas');
    host.append(canvas);
    let root: ReconcilerRoot<HTMLCanvasElement> | undefined;
    let alive = true;
    const fail = (error: unknown) => {
      if (!alive) return;
      const reason = error instanceof Error ? error.message : String(error);
      ui.getState().setPicture('impossible', `Drawing in the round stopped: ${reason}`);
    };
    const { widthPx, heightPx } = ui.getState().panel;
    try {
      root = createRoot(canvas);
      void root
        .configure({
          frameloop: 'demand',
          flat: true,
          dpr: Math.min(window.devicePixelRatio || 1, mostPixelRatio),
          size: { width: Math.max(widthPx, 1), height: Math.max(heightPx, 1), top: 0, left: 0 },
          gl: { antialias: false, alpha: false, depth: false, stencil: false, powerPreference: 'high-performance' },
        })
        .then((configured) => {
          if (!alive) return;
          configured.render(
            <ErrorBoundary fallback={null} onError={fail}>
              <ClothPicture table={table} />
            </ErrorBoundary>,
          );
        })
        .catch(fail);
    } catch (error) {
      fail(error);
    }
    return () => {
      alive = false;
      root?.unmount();
      canvas.remove();
    };
  }, [table]);

  return <div ref={hostRef} className="cloth-stage" />;
}
