import { useMemo } from 'react';
import { useStore } from 'zustand';
import { lensOf } from '#app/model/lens.ts';
import { poseIn } from '#app/model/panes.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { useCanvas } from '#app/model/useCanvas.ts';
import { type FlatThreads, flatThreads } from './flatThreads.ts';
import { type FlatPane, paintFlat } from './paintFlat.ts';

/** The cloth where it cannot be drawn in the round: its threads where they lie, in every picture of the panel. */
export function FlatCloth() {
  const { forecast, kept, ui } = useTable();
  const result = useStore(forecast.state, (state) => state.result);
  const resultCloth = useStore(forecast.state, (state) => state.resultCloth);
  const versions = useStore(kept, (state) => state.cloths);
  const clothState = useTableState((state) => state.clothState);
  // Whatever of the page's state changes the picture has it painted again.
  useTableState((state) => state.pose);
  useTableState((state) => state.panes);
  useTableState((state) => state.lensAt);
  useTableState((state) => state.moving);
  const lightnessOnly = useTableState((state) => state.lightnessOnly);
  const own = useMemo(
    () => (result && resultCloth ? flatThreads(resultCloth, result.geometry) : undefined),
    [result, resultCloth],
  );
  const beside = useMemo(
    () =>
      versions.map(({ body, result: answer }): FlatThreads | undefined => {
        if (!answer) return undefined;
        const cloth = sampleCloth({ ...body, versions: [] }, clothState);
        return cloth.ok ? flatThreads(cloth.value, answer.geometry) : undefined;
      }),
    [versions, clothState],
  );

  const canvasRef = useCanvas((context) => {
    const { pose, panes, moving } = ui.getState();
    const { width, height } = context.canvas;
    const ratio = context.getTransform().a;
    const image = context.createImageData(width, height);
    for (const pane of flatPanes(ui.getState(), panes, pose, [own, ...beside])) {
      paintFlat(image, pane, ratio, lightnessOnly, moving);
    }
    context.putImageData(image, 0, 0);
  });
  return <canvas ref={canvasRef} className="flat-cloth" />;
}

/** The pictures of the panel that there is a cloth for, and the lens over them. */
function flatPanes(
  state: Parameters<typeof lensOf>[0],
  panes: Parameters<typeof lensOf>[0]['panes'],
  pose: Parameters<typeof lensOf>[0]['pose'],
  cloths: readonly (FlatThreads | undefined)[],
): FlatPane[] {
  const pictures = panes.flatMap((pane): FlatPane[] => {
    const threads = cloths[pane.cloth];
    const { frame, clip = frame } = pane;
    return threads ? [{ threads, pose: poseIn(pane, pose), size: frame, frame, clip }] : [];
  });
  const lens = lensOf(state);
  const below = lens && cloths[lens.pane.cloth];
  if (!lens || !below) return pictures;
  const [targetXMm, targetYMm] = lens.centreMm;
  const near = { ...poseIn(lens.pane, pose), targetXMm, targetYMm, mmPerPx: pose.mmPerPx / lens.closer };
  return [...pictures, { threads: below, pose: near, size: lens.box, frame: lens.box, clip: lens.box }];
}
