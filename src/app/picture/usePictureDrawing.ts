import { useEffect, useRef, useState } from 'react';
import { lightOf } from '#app/model/lighting.ts';
import { useTable } from '#app/model/tableContext.ts';
import type { SheetPlan } from '#app/still/sheetPlan.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { downloadFile } from '#io/saveFile.ts';

/** A picture under way. */
export interface PictureDrawing {
  readonly fileName: string;
  /** Share done, 0..1. */
  readonly share: number;
}

export interface PictureWork {
  readonly drawing: PictureDrawing | undefined;
  start(cloth: { packed: PackedCloth; far?: FarCloth }, plan: SheetPlan, samples: number, fileName: string): void;
  stop(): void;
}

/** Draws one picture at a time and downloads it; how it went is told in the status line. */
export function usePictureDrawing(): PictureWork {
  const { ui } = useTable();
  const [drawing, setDrawing] = useState<PictureDrawing | undefined>();
  const stopperRef = useRef<AbortController | undefined>(undefined);
  useEffect(() => () => stopperRef.current?.abort(), []);

  async function work(
    { packed, far }: Parameters<PictureWork['start']>[0],
    plan: SheetPlan,
    samples: number,
    fileName: string,
    signal: AbortSignal,
  ): Promise<string> {
    const { lightnessOnly } = ui.getState();
    const light = lightOf(ui.getState());
    setDrawing({ fileName, share: 0 });
    try {
      const { drawPicture } = await import('./drawPicture.ts');
      const png = await drawPicture(
        { packed, far, light, lightnessOnly, plan, samples },
        (share) => setDrawing({ fileName, share }),
        signal,
      );
      downloadFile(new Blob([png], { type: 'image/png' }), fileName);
      return `Downloaded ${fileName}, ${plan.sheet.widthPx} × ${plan.sheet.heightPx} px.`;
    } catch (error) {
      if (signal.aborted) return 'The picture was stopped; nothing was saved.';
      return `No picture was saved. ${error instanceof Error ? error.message : String(error)}`;
    }
  }

  return {
    drawing,
    start(cloth, plan, samples, fileName) {
      if (stopperRef.current) return;
      const stopper = new AbortController();
      stopperRef.current = stopper;
      void work(cloth, plan, samples, fileName, stopper.signal).then((words) => {
        stopperRef.current = undefined;
        setDrawing(undefined);
        // A picture is of the cloth as it was asked for, whatever becomes of the sample.
        ui.getState().say(words, { goesWith: [] });
      });
    },
    stop: () => stopperRef.current?.abort(),
  };
}
