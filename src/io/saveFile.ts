import type { Sample } from '#document/schema/sampleSchema.ts';
import { sampleFileName, writeSampleText } from './sampleFile.ts';

/** What this file needs of the file system access API, which the type library leaves out since not all browsers have it. */
export interface SaveHandle {
  createWritable(): Promise<{ write(text: string): Promise<void>; close(): Promise<void>; abort?(): Promise<void> }>;
}

interface PickerWindow {
  showSaveFilePicker?: (options: {
    suggestedName: string;
    types: { description: string; accept: Record<string, string[]> }[];
  }) => Promise<SaveHandle>;
}

export type SaveOutcome =
  /** Pass the handle to the next save, so that it goes to the same file without asking. */
  | { readonly kind: 'saved'; readonly handle: SaveHandle }
  | { readonly kind: 'downloaded'; readonly name: string }
  | { readonly kind: 'cancelled' }
  /** Whatever handle was passed is no good any more. */
  | { readonly kind: 'failed'; readonly reason: string };

/**
 * Saves the sample to a file of the person's choosing, or as a download where the browser has no dialog to choose one in.
 * Never throws.
 */
export async function saveSampleFile(sample: Sample, handle?: SaveHandle): Promise<SaveOutcome> {
  const text = writeSampleText(sample);
  const name = sampleFileName(sample);
  const target = handle ?? (await pickFile(name));
  if (target === 'cancelled') return { kind: 'cancelled' };
  if (!target) {
    downloadFile(new Blob([text], { type: 'application/json' }), name);
    return { kind: 'downloaded', name };
  }
  try {
    const stream = await target.createWritable();
    try {
      await stream.write(text);
      await stream.close();
    } catch (error) {
      await stream.abort?.().catch(() => {});
      throw error;
    }
    return { kind: 'saved', handle: target };
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    return {
      kind: 'failed',
      reason: `The file could not be written (${detail}). Save again and choose another place.`,
    };
  }
}

/**
 * Hardly anybody sees a dialog, decides and closes it sooner, ms (estimate); a browser without dialogs, busy drawing in software,
 * calls them off after 10 to 400 (measured).
 */
const SOONEST_CLOSED_MS = 2000;

/**
 * Undefined where no file can be picked: the browser has no picker, forbids it here, or shows no dialog. Of the last it says that
 * the dialog was called off, as it says of a person; but a dialog takes the focus from the page, and is not closed at once.
 */
async function pickFile(suggestedName: string): Promise<SaveHandle | 'cancelled' | undefined> {
  const types = [{ description: 'Forecloth sample', accept: { 'application/json': ['.json'] } }];
  let left = false;
  const leave = () => {
    left = true;
  };
  window.addEventListener('blur', leave);
  const began = performance.now();
  try {
    return await (window as PickerWindow).showSaveFilePicker?.({ suggestedName, types });
  } catch (error) {
    const calledOff = error instanceof DOMException && error.name === 'AbortError';
    const dialogSeen = left || performance.now() - began >= SOONEST_CLOSED_MS;
    return calledOff && dialogSeen ? 'cancelled' : undefined;
  } finally {
    window.removeEventListener('blur', leave);
  }
}

/** Time for the browser to start the download before its address goes, ms (common practice: seconds are plenty). */
const REVOKE_AFTER_MS = 10_000;

/** Hands a file to the browser, which puts it where downloads go. */
export function downloadFile(file: Blob, name: string): void {
  const url = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), REVOKE_AFTER_MS);
}
