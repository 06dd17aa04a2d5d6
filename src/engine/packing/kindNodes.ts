import { heightened, widened } from '#engine/cloth/forecast/unevenThreads.ts';
import { type BandKinds, KIND_NUMBERS } from '#engine/cloth/kinds/kindFields.ts';
import { NODE_WORDS, PAGE_SIDE } from './clothBufferLayout.ts';
import { halfOfSingle } from './halfFloat.ts';
import { bitsOf, type PageLayout, sectionBytes, wrapBytes } from './packNodes.ts';

/**
 * Writes the nodes of one family of a band's threads straight from the kinds of its crossings: heights, wraps and sections once
 * a kind, slopes by the space about each crossing.
 */
export class KindNodes {
  private readonly height: Uint32Array;
  private readonly offset: Uint32Array;
  private readonly rest: Uint32Array;
  /** A row's slopes, and the same as bits. */
  private readonly slope: Float32Array;
  private readonly slopeBits: Uint32Array;
  private readonly offsetSlope: Float32Array;
  private readonly offsetSlopeBits: Uint32Array;
  private readonly known: Float32Array;
  private readonly kindOf: Uint32Array;
  private readonly ends: number;

  /**
   * @param from where the family's numbers begin in a kind's
   * @param straight no thread of the family leaves its line sideways
   */
  constructor(
    { known, kindOf, perXMm }: BandKinds,
    private readonly from: number,
    scaleMm: number,
    private readonly straight: boolean,
  ) {
    this.known = known;
    this.kindOf = kindOf;
    this.ends = perXMm.length;
    const kinds = known.length / KIND_NUMBERS;
    const bits = bitsOf(known);
    this.height = new Uint32Array(kinds);
    this.offset = new Uint32Array(kinds);
    this.rest = new Uint32Array(kinds);
    for (let kind = 0, at = from; kind < kinds; kind++, at += KIND_NUMBERS) {
      this.height[kind] = halfOfSingle(bits[at]);
      this.offset[kind] = straight ? 0 : halfOfSingle(bits[at + 2]);
      this.rest[kind] = wrapBytes(known[at + 4], known[at + 5], scaleMm) | sectionBytes(known[at + 6], known[at + 7]);
    }
    this.slope = new Float32Array(this.ends);
    this.slopeBits = bitsOf(this.slope);
    this.offsetSlope = new Float32Array(straight ? 0 : this.ends);
    this.offsetSlopeBits = bitsOf(this.offsetSlope);
  }

  /**
   * A row's nodes.
   * @param row of the band, from 0
   * @param texelRow where it stands in `texels`
   * @param perMm one over the space about each crossing
   * @param factors how much wider each crossing is than its kind, from `row · ends` on; none where all are even
   */
  write(
    texels: Uint32Array,
    layout: PageLayout,
    row: number,
    texelRow: number,
    perMm: Float64Array,
    factors: Float64Array | undefined,
  ): void {
    const { known, kindOf, from, straight, height, offset, rest, ends } = this;
    const { slope, slopeBits, offsetSlope, offsetSlopeBits } = this;
    const { pageWidth, pageHeight, pagesAcross } = layout;
    const start = row * ends;
    for (let end = 0; end < ends; end++) {
      const at = KIND_NUMBERS * kindOf[start + end] + from;
      slope[end] = known[at + 1] * perMm[end];
      if (!straight) offsetSlope[end] = known[at + 3] * perMm[end];
    }
    const pageRow = Math.floor(texelRow / PAGE_SIDE) * pagesAcross;
    for (let first = 0; first < ends; first += PAGE_SIDE) {
      const page = pageRow + first / PAGE_SIDE;
      const last = Math.min(ends, first + PAGE_SIDE);
      let to = (page * pageHeight + (texelRow % PAGE_SIDE)) * pageWidth * NODE_WORDS;
      for (let end = first; end < last; end++) {
        const kind = kindOf[start + end];
        texels[to] = height[kind] | (halfOfSingle(slopeBits[end]) << 16);
        if (!straight) texels[to + 1] = offset[kind] | (halfOfSingle(offsetSlopeBits[end]) << 16);
        const factor = factors ? factors[start + end] : 1;
        texels[to + 2] = factor === 1 ? rest[kind] : this.uneven(kind, factor);
        to += NODE_WORDS;
      }
    }
  }

  /** Wraps and section of a crossing that is so much wider than its kind. */
  private uneven(kind: number, factor: number): number {
    const { known, rest, from } = this;
    const at = KIND_NUMBERS * kind + from;
    const width = Math.fround(widened(known[at + 6], factor));
    const height = Math.fround(heightened(known[at + 7], factor));
    return (rest[kind] & 0xffff) | sectionBytes(width, height);
  }
}
