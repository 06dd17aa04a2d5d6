import { type Outcome, problemAt } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { type DrawdownRead, readDrawdownPng } from './drawdownPng.ts';
import { readSampleInterchange } from './interchange/sampleInterchange.ts';
import { readSampleText } from './sampleFile.ts';

/** Larger files are refused unread: no sample comes near it, and a film dropped by mistake should not fill memory. */
const MOST_BYTES = 64 * 1024 * 1024;

export type OpenedFile =
  | { readonly kind: 'sample'; readonly sample: Sample; readonly remarks: readonly string[] }
  /** A picture of one pixel a crossing, to be woven on the loom at hand. */
  | { readonly kind: 'drawdown'; readonly read: DrawdownRead };

/**
 * What a file of the person's holds: a sample, a draft for exchange, or a drawdown as a picture; told by its contents.
 * `spunLike` fetches the yarn that a draft's yarns are taken to be spun like. Never throws; a problem's place is within the
 * file, whose name it leaves to whoever tells of it.
 */
export async function readOpenedFile(
  file: File,
  spunLike: () => Promise<Outcome<YarnCard>>,
): Promise<Outcome<OpenedFile>> {
  const refuse = (what: string): Outcome<never> => ({
    ok: false,
    problems: [problemAt([], what, 'choose a sample, a draft or a drawdown picture')],
  });
  if (file.size > MOST_BYTES) return refuse(`is ${Math.round(file.size / 1e6)} MB, larger than any sample`);
  let bytes: Uint8Array;
  try {
    bytes = new Uint8Array(await file.arrayBuffer());
  } catch {
    return refuse('could not be read from the disk');
  }
  if (bytes[0] === 0x89 && bytes[1] === 0x50) {
    const read = readDrawdownPng(bytes);
    return read.ok ? { ok: true, value: { kind: 'drawdown', read: read.value } } : read;
  }
  const foreign = foreignKind(bytes, file.name);
  if (foreign) return refuse(foreign);
  const text = textOf(bytes);
  if (/^\uFEFF?(?:\s*;[^\r\n]*[\r\n])*\s*\[/u.test(text) && !isJson(text)) {
    const yarn = await spunLike();
    if (!yarn.ok) return yarn;
    const draft = readSampleInterchange(text, yarn.value);
    return draft.ok ? { ok: true, value: { kind: 'sample', ...draft.value } } : draft;
  }
  const sample = readSampleText(text);
  return sample.ok ? { ok: true, value: { kind: 'sample', sample: sample.value, remarks: [] } } : sample;
}

/** What a file is that is no text at all, as a predicate; undefined for text. */
function foreignKind(bytes: Uint8Array, name: string): string | undefined {
  const onlyDrawdowns = 'only a drawdown of one pixel a crossing, as PNG, can be woven';
  if (bytes[0] === 0xff && bytes[1] === 0xd8) return `is a photograph (JPEG): ${onlyDrawdowns}`;
  if (/\.png$/i.test(name)) return 'is called a PNG picture but is not one, or is damaged';
  if (/\.(jpe?g|gif|webp|avif|heic|tiff?|bmp)$/i.test(name)) return `is a picture of another kind: ${onlyDrawdowns}`;
  // No text in UTF-8 or a byte a letter holds a zero byte.
  return bytes.subarray(0, 4096).includes(0)
    ? 'is neither a sample nor a draft: it holds no plain text in UTF-8 (an editor can save it so)'
    : undefined;
}

/** Files of older programs are not always UTF-8. */
function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** A list in JSON begins with a bracket as well. */
function isJson(text: string): boolean {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
}

/** Lets the person choose a file. Resolves to null where she changes her mind. */
export function chooseSampleFile(): Promise<File | null> {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json,application/json,.wif,.png,image/png';
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
