import { decode, encode } from 'fast-png';
import { type Outcome, problemAt } from '#document/problem.ts';
import { MOST_ENDS, MOST_PICKS } from '#document/schema/fields.ts';
import { luminance } from '#engine/colour/colour.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';

/**
 * The drawdown as a picture of one pixel a crossing: black where the warp is up, white elsewhere, end 1 leftmost, the
 * first pick lowest, as the cloth grows. PNG, ISO/IEC 15948:2004, one bit a pixel.
 */
export function writeDrawdownPng(drawdown: Drawdown): Uint8Array<ArrayBuffer> {
  const { rows, ends } = drawdown;
  const bytesPerRow = Math.ceil(ends / 8);
  const data = new Uint8Array(bytesPerRow * rows);
  for (let line = 0; line < rows; line++) {
    for (let end = 0; end < ends; end++) {
      if (!isWarpUp(drawdown, rows - 1 - line, end)) data[line * bytesPerRow + (end >> 3)] |= 0x80 >> (end & 7);
    }
  }
  return new Uint8Array(encode({ width: ends, height: rows, data, depth: 1, channels: 1 }));
}

export interface DrawdownRead {
  readonly drawdown: Drawdown;
  /** Distinct lightnesses in the picture: two in a drawdown, more in a picture that was not meant as one. */
  readonly tones: number;
}

/** Size of a PNG as its header tells it (ISO/IEC 15948:2004, 11.2.2), before anything is unpacked. */
function headerOf(bytes: Uint8Array): { width: number; height: number } | undefined {
  if (bytes.length < 33) return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint32(0) !== 0x89504e47 || view.getUint32(4) !== 0x0d0a1a0a || view.getUint32(12) !== 0x49484452) {
    return undefined;
  }
  return { width: view.getUint32(16), height: view.getUint32(20) };
}

/**
 * A drawdown from a picture of one pixel a crossing: warp up where a pixel is darker than halfway between the lightest
 * and the darkest. Colours count by their luma (Rec. ITU-R BT.709), clear pixels as white. Never throws.
 */
export function readDrawdownPng(bytes: Uint8Array): Outcome<DrawdownRead> {
  const refuse = (what: string, remedy: string): Outcome<never> => ({
    ok: false,
    problems: [problemAt([], what, remedy)],
  });
  const header = headerOf(bytes);
  if (!header) return refuse('is no PNG picture: its first 33 bytes are not a PNG header', 'choose a PNG');
  const { width, height } = header;
  if (!(width >= 1 && width <= MOST_ENDS && height >= 1 && height <= MOST_PICKS)) {
    const most = `at most ${MOST_ENDS} ends by ${MOST_PICKS} picks`;
    return refuse(`is ${width} by ${height} pixels, and each pixel is a crossing`, `make it ${most}`);
  }
  let luma: Float64Array;
  try {
    luma = lumaOf(decode(bytes, { checkCrc: true }));
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return refuse(`is a damaged PNG (${why.slice(0, 120)})`, 'save or fetch it again');
  }
  if (luma.length !== width * height || luma.some(Number.isNaN)) {
    return refuse('is a damaged PNG (pixels are missing)', 'save or fetch it again');
  }
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const value of luma) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  // A picture all dark is warp up throughout, all light weft: what it is against mid grey.
  const limit = most > least ? (least + most) / 2 : 0.5;
  const drawdown = createDrawdown(height, width);
  for (let line = 0; line < height; line++) {
    for (let end = 0; end < width; end++) {
      if (luma[line * width + end] < limit) setWarpUp(drawdown, height - 1 - line, end, true);
    }
  }
  return { ok: true, value: { drawdown, tones: new Set(luma).size } };
}

/** Lightness of each pixel, 0 black .. 1 white, over white where it is clear. */
function lumaOf(png: ReturnType<typeof decode>): Float64Array {
  const { width, height, data, depth, channels, palette } = png;
  const most = 2 ** depth - 1;
  const out = new Float64Array(width * height);
  // Pixels of less than a byte are packed, each row begun with a byte of its own.
  const perByte = 8 / depth;
  const bytesPerRow = Math.ceil((width * channels) / perByte);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const sample = (channel: number) => {
        const k = x * channels + channel;
        if (depth >= 8) return data[y * width * channels + k];
        const byte = data[y * bytesPerRow + Math.floor(k / perByte)];
        return (byte >> (8 - depth * ((k % perByte) + 1))) & most;
      };
      let rgb: readonly number[];
      let alpha = 1;
      if (palette) {
        const entry = palette[sample(0)];
        rgb = entry?.slice(0, 3).map((value) => value / 255) ?? [Number.NaN, 0, 0];
        if (entry && entry.length > 3) alpha = entry[3] / 255;
      } else {
        const grey = channels < 3;
        rgb = grey ? [sample(0), sample(0), sample(0)] : [sample(0), sample(1), sample(2)];
        rgb = rgb.map((value) => value / most);
        if (channels === 2 || channels === 4) alpha = sample(channels - 1) / most;
      }
      out[y * width + x] = 1 - alpha + alpha * luminance(rgb);
    }
  }
  return out;
}
