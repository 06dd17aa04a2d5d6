import type { Photograph } from '#engine/colour/photograph.ts';

/** Larger photographs are read smaller: more pixels than any patch needs, and much memory. */
const mostPixels = 12e6;

export type PhotographOutcome =
  | { readonly ok: true; readonly photograph: Photograph }
  | { readonly ok: false; readonly reason: string };

/** Decodes a picture file, upright and as sRGB. Nothing leaves the machine. */
export async function readPhotograph(file: File): Promise<PhotographOutcome> {
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file);
  } catch {
    return {
      ok: false,
      reason: `${file.name} is not a picture that this browser can read. Choose a PNG, JPEG or WebP file.`,
    };
  }
  try {
    const scale = Math.min(1, Math.sqrt(mostPixels / (bitmap.width * bitmap.height)));
    const width = Math.max(1, Math.floor(bitmap.width * scale));
    const height = Math.max(1, Math.floor(bitmap.height * scale));
    const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true });
    if (!context) return { ok: false, reason: 'This browser does not let pages read pictures. Use another way.' };
    context.drawImage(bitmap, 0, 0, width, height);
    const { data } = context.getImageData(0, 0, width, height);
    return { ok: true, photograph: { width, height, pixels: data } };
  } finally {
    bitmap.close();
  }
}
