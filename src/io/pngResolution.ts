/** Length of the signature and of the header chunk that must come first (ISO/IEC 15948:2004, 5.2 and 11.2.2). */
const AFTER_HEADER = 8 + 25;
const METRE = 1;

/**
 * A PNG with its scale written in: a physical pixel dimensions chunk (pHYs, ISO/IEC 15948:2004, 11.3.5.3) after the header,
 * so that programs print the picture at true size.
 * @throws RangeError where the bytes are no PNG or the resolution is not above 0
 */
export function withResolution(png: Uint8Array, pixelsPerMetre: number): Uint8Array<ArrayBuffer> {
  const whole = Math.round(pixelsPerMetre);
  if (!(whole > 0 && whole < 2 ** 31)) {
    throw new RangeError(`${pixelsPerMetre} pixels per metre: a scale must be at least one pixel a metre.`);
  }
  const type = String.fromCharCode(...png.subarray(12, 16));
  if (png.length < AFTER_HEADER || type !== 'IHDR') throw new RangeError('These bytes are no PNG: no header chunk.');
  const chunk = new Uint8Array(21);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, 9);
  chunk.set([0x70, 0x48, 0x59, 0x73], 4);
  view.setUint32(8, whole);
  view.setUint32(12, whole);
  chunk[16] = METRE;
  view.setUint32(17, crc32(chunk.subarray(4, 17)));
  const out = new Uint8Array(png.length + chunk.length);
  out.set(png.subarray(0, AFTER_HEADER));
  out.set(chunk, AFTER_HEADER);
  out.set(png.subarray(AFTER_HEADER), AFTER_HEADER + chunk.length);
  return out;
}

/** Check sum of a chunk's type and data (ISO/IEC 15948:2004, annex D). */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
