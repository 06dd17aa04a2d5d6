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
  | { readonly kind: 'downloaded' }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'failed'; readonly reason: string };

/** Saves the sample to a file of the person's choosing, or as a download where the browser has no file picker. */
export async function saveSampleFile(sample: Sample, handle?: SaveHandle): Promise<SaveOutcome> {
  const text = writeSampleText(sample);
  const name = sampleFileName(sample);
  try {
    const target = handle ?? (await pickFile(name));
    if (!target) {
      downloadFile(new Blob([text], { type: 'application/json' }), name);
      return { kind: 'downloaded' };
    }
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
    if (error instanceof DOMException && error.name === 'AbortError') return { kind: 'cancelled' };
    const detail = error instanceof Error ? error.message : String(error);
    return { kind: 'failed', reason: `The file could not be written (${detail}). Choose another place.` };
  }
}

/** Undefined where the browser has no file picker. */
async function pickFile(suggestedName: string): Promise<SaveHandle | undefined> {
  const types = [{ description: 'Forecloth sample', accept: { 'application/json': ['.json'] } }];
  return (window as PickerWindow).showSaveFilePicker?.({ suggestedName, types });
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
