import type { ClothGeometry, CurveField } from '#engine/cloth/clothTypes.ts';
import { GONE_BYTE, MAX_PAGES, NODE_WORDS, PAGE_SIDE, SECTION_STEPS, WRAP_STEPS } from './clothBufferLayout.ts';
import { halfOfSingle } from './halfFloat.ts';
import { PackingError } from './packedCloth.ts';

export interface PageLayout {
  readonly pageWidth: number;
  readonly pageHeight: number;
  readonly pagesAcross: number;
  readonly pages: number;
}

/** Pages that hold periodRows × periodEnds nodes. */
export function pageLayout(periodRows: number, periodEnds: number): PageLayout {
  const pageWidth = Math.min(PAGE_SIDE, periodEnds);
  const pageHeight = Math.min(PAGE_SIDE, periodRows);
  const pagesAcross = Math.ceil(periodEnds / PAGE_SIDE);
  const pages = pagesAcross * Math.ceil(periodRows / PAGE_SIDE);
  if (pages > MAX_PAGES) {
    throw new PackingError(
      `cloth: ${periodRows} × ${periodEnds} distinct crossings need ${pages} pages, the picture holds ${MAX_PAGES}; draw a smaller part`,
    );
  }
  return { pageWidth, pageHeight, pagesAcross, pages };
}

/** Greatest |wrap| (mm) of either family: the scale of the wrap bytes. */
export function wrapScaleMm(geometry: ClothGeometry): number {
  let scale = 0;
  for (const field of [geometry.warp, geometry.weft]) {
    for (const values of [field.wrapStartMm, field.wrapEndMm]) {
      for (let k = 0; k < values.length; k++) {
        if (values[k] > scale) scale = values[k];
        else if (-values[k] > scale) scale = -values[k];
      }
    }
  }
  return scale;
}

/**
 * Room for the node texels of one family, page after page.
 * @param shared whether other threads are to write into it
 */
export function createNodes(layout: PageLayout, shared = false): Uint32Array {
  const words = layout.pages * layout.pageWidth * layout.pageHeight * NODE_WORDS;
  if (!shared) return new Uint32Array(words);
  return new Uint32Array(new SharedArrayBuffer(words * Uint32Array.BYTES_PER_ELEMENT));
}

/**
 * Fills in the node texels of rows fromRow .. toRow − 1. Half floats keep 11 bits: 0.0005 mm at a height of 1 mm.
 * @param straight no thread of the field leaves its line sideways (see `isStraight`)
 * @param held rows that the field holds, each at its number's remainder; all of them by itself
 * @param firstRow of the texels
 */
export function packNodes(
  texels: Uint32Array,
  field: CurveField,
  periodEnds: number,
  layout: PageLayout,
  scaleMm: number,
  straight: boolean,
  fromRow: number,
  toRow: number,
  held = toRow,
  firstRow = 0,
): void {
  const { pageWidth, pageHeight, pagesAcross } = layout;
  const height = bitsOf(field.heightMm);
  const slope = bitsOf(field.slope);
  const offset = bitsOf(field.offsetMm);
  const offsetSlope = bitsOf(field.offsetSlope);
  const { wrapStartMm, wrapEndMm, widthFactor, heightFactor, gone } = field;
  for (let row = fromRow; row < toRow; row++) {
    const pageRow = Math.floor((row - firstRow) / PAGE_SIDE) * pagesAcross;
    const y = (row - firstRow) % PAGE_SIDE;
    const start = (row % held) * periodEnds;
    for (let first = 0; first < periodEnds; first += PAGE_SIDE) {
      const page = pageRow + first / PAGE_SIDE;
      const last = start + Math.min(periodEnds, first + PAGE_SIDE);
      let at = (page * pageHeight + y) * pageWidth * NODE_WORDS;
      for (let k = start + first; k < last; k++) {
        texels[at] = halfOfSingle(height[k]) | (halfOfSingle(slope[k]) << 16);
        if (!straight) texels[at + 1] = halfOfSingle(offset[k]) | (halfOfSingle(offsetSlope[k]) << 16);
        texels[at + 2] =
          (gone?.[k] === 1
            ? (wrapBytes(0, wrapEndMm[k], scaleMm) & 0xff00) | GONE_BYTE
            : wrapBytes(wrapStartMm[k], wrapEndMm[k], scaleMm)) | sectionBytes(widthFactor[k], heightFactor[k]);
        at += NODE_WORDS;
      }
    }
  }
}

/** The bits of single-precision numbers. */
export function bitsOf(values: Float32Array): Uint32Array {
  return new Uint32Array(values.buffer, values.byteOffset, values.length);
}

/** A stretch's wraps as the lower two bytes of its node's last word. */
export function wrapBytes(startMm: number, endMm: number, scaleMm: number): number {
  const toByte = scaleMm > 0 ? WRAP_STEPS / scaleMm : 0;
  return signedByte(startMm * toByte) | (signedByte(endMm * toByte) << 8);
}

/** A section as the upper two. */
export function sectionBytes(widthFactor: number, heightFactor: number): number {
  return (sectionByte(widthFactor) << 16) | (sectionByte(heightFactor) << 24);
}

/** Nearest whole number, within ±127, as a byte; shifted to where cutting off rounds down. */
function signedByte(value: number): number {
  return (((value + 128.5) | 0) & 0xff) ^ 0x80;
}

function sectionByte(factor: number): number {
  // A factor of 0 would divide by nothing in the walk; 2.55 is the widest a byte of hundredths can say.
  return Math.min(255, Math.max(1, (factor * SECTION_STEPS + 0.5) | 0));
}
