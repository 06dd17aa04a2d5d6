import { createStore, type StoreApi } from 'zustand/vanilla';
import { lightOf } from '#app/model/lighting.ts';
import type { TableStore } from '#app/model/tableState.ts';
import { downloadFile } from '#io/saveFile.ts';
import type { PictureJob } from './drawPicture.ts';

/** A picture under way. */
export interface PictureDrawing {
  readonly fileName: string;
  /** Share done, 0..1. */
  readonly share: number;
  /** A traced picture as far as it has come; told anew each time that it is looked at. */
  readonly shown?: { readonly sheet: OffscreenCanvas };
}

export interface PictureRequest extends Omit<PictureJob, 'light' | 'lightnessOnly'> {
  readonly fileName: string;
}

/** Draws one picture at a time and downloads it; how it went is told in the status line. */
export interface PictureWork {
  readonly state: StoreApi<{ readonly drawing: PictureDrawing | undefined }>;
  start(request: PictureRequest): void;
  stop(): void;
}

export function createPictureWork(ui: TableStore): PictureWork {
  const state = createStore<{ drawing: PictureDrawing | undefined }>(() => ({ drawing: undefined }));
  let stopper: AbortController | undefined;

  async function draw({ fileName, ...job }: PictureRequest, signal: AbortSignal): Promise<string> {
    const { lightnessOnly } = ui.getState();
    const light = lightOf(ui.getState());
    const tell = (part: Partial<PictureDrawing>) =>
      state.setState(({ drawing }) => ({ drawing: { fileName, share: 0, ...drawing, ...part } }));
    tell({});
    try {
      const { drawPicture } = await import('./drawPicture.ts');
      const png = await drawPicture(
        { ...job, light, lightnessOnly },
        (share) => tell({ share }),
        (sheet) => tell({ shown: { sheet } }),
        signal,
      );
      downloadFile(new Blob([png], { type: 'image/png' }), fileName);
      return `Downloaded ${fileName}, ${job.plan.sheet.widthPx} × ${job.plan.sheet.heightPx} px.`;
    } catch (error) {
      if (signal.aborted) return 'The picture was stopped; nothing was saved.';
      return `No picture was saved. ${error instanceof Error ? error.message : String(error)}`;
    }
  }

  return {
    state,
    start(request) {
      if (stopper) return;
      stopper = new AbortController();
      void draw(request, stopper.signal).then((words) => {
        stopper = undefined;
        state.setState({ drawing: undefined });
        // A picture is of the cloth as it was asked for, whatever becomes of the sample.
        ui.getState().say(words, { goesWith: [] });
      });
    },
    stop: () => stopper?.abort(),
  };
}
