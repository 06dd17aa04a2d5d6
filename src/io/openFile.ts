import { type Outcome, problemAt } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readSampleText } from './sampleFile.ts';

/** Larger files are refused unread: no sample comes near it, and a film dropped by mistake should not fill memory. */
const MOST_BYTES = 64 * 1024 * 1024;

/** A sample from a file of the person's. Never throws; a problem's place is within the file. */
export async function readSampleFile(file: File): Promise<Outcome<Sample>> {
  const refuse = (what: string): Outcome<Sample> => ({
    ok: false,
    problems: [problemAt([], `"${file.name}" ${what}`, 'choose a sample file')],
  });
  if (file.size > MOST_BYTES) return refuse(`is ${Math.round(file.size / 1e6)} MB, larger than any sample`);
  try {
    return readSampleText(await file.text());
  } catch {
    return refuse('could not be read from the disk');
  }
}

/** Lets the person choose a file. Resolves to null where she changes her mind. */
export function chooseSampleFile(): Promise<File | null> {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json,application/json';
  return new Promise((resolve) => {
    input.addEventListener('change', () => resolve(input.files?.[0] ?? null), { once: true });
    input.addEventListener('cancel', () => resolve(null), { once: true });
    input.click();
  });
}

/**
 * Takes files dropped anywhere on the page, which would otherwise leave it for the file. Other drags (a yarn on a pick)
 * pass untouched. Returns what stops it.
 */
export function acceptDroppedFiles(target: Window, onFile: (file: File) => void): () => void {
  const holdsFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
  const over = (event: DragEvent) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
  };
  const drop = (event: DragEvent) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file) onFile(file);
  };
  target.addEventListener('dragover', over);
  target.addEventListener('drop', drop);
  return () => {
    target.removeEventListener('dragover', over);
    target.removeEventListener('drop', drop);
  };
}
