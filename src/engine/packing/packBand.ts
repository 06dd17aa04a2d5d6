import type { ClothGeometry, CurveField } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import { createDrawdown } from '#engine/draft/drawdown.ts';
import { NODE_WORDS, PAGE_SIDE } from './clothBufferLayout.ts';
import { createNodes, type PageLayout, packNodes, pageLayout } from './packNodes.ts';
import { nextTileLine, reachOfRows, type TiledThreads } from './packTiles.ts';
import type { PartReach } from './tileReach.ts';

/** Rows from .. to − 1 of a cloth without a repeat, to be laid out apart from the others. */
export interface BandJob {
  /**
   * Of the whole cloth, but for lifts, which nobody asks for, and fields: these hold these rows and the one after them, as if they
   * came again and again.
   */
  readonly threads: TiledThreads;
  readonly from: number;
  readonly to: number;
  readonly scaleMm: number;
  /** The whole cloth's nodes, where these can be written from another thread. */
  readonly into?: BandNodes;
}

/** Nodes of both families. */
export interface BandNodes {
  readonly warp: Uint32Array;
  readonly weft: Uint32Array;
  readonly layout: PageLayout;
}

export function bandNodes(rows: number, ends: number, shared = false): BandNodes {
  const layout = pageLayout(rows, ends);
  return { warp: createNodes(layout, shared), weft: createNodes(layout, shared), layout };
}

export interface PackedBand {
  /** The band's own, where it could not write into the whole cloth's. */
  readonly nodes?: BandNodes;
  readonly reach: PartReach;
}

/** Fewer rows than this are not worth the way. */
const LEAST_ROWS = 16;
/** Bands for each of those that lay them out, so that none waits long for the last. */
const BANDS_A_HAND = 2;

/** First rows of the bands, and the count of rows: between rows of tiles, so that nothing is met in two of them. */
export function bandCuts(rows: number, hands: number): number[] {
  const wanted = Math.min(PAGE_SIDE - 1, Math.max(LEAST_ROWS, Math.ceil(rows / (BANDS_A_HAND * hands))));
  const cuts = [0];
  for (let at = 0; at < rows; ) {
    // The last tile line of so many rows, and one at least.
    let next = nextTileLine(at);
    while (next < rows && nextTileLine(next) - at <= wanted) next = nextTileLine(next);
    at = Math.min(rows, next);
    cuts.push(at);
  }
  return cuts;
}

/** Rows from .. to − 1 of a field, each at its number's remainder. */
function turnedRows<Values extends Float32Array | Uint8Array>(
  values: Values,
  ends: number,
  from: number,
  to: number,
): Values {
  const count = to - from;
  const out = values.slice(from * ends, to * ends) as Values;
  const turn = from % count;
  if (turn === 0) return out;
  // Row `from` comes to `turn`, and what goes beyond the end to the beginning.
  const split = to - turn;
  out.set(values.subarray(from * ends, split * ends), turn * ends);
  out.set(values.subarray(split * ends, to * ends), 0);
  return out;
}

const NOTHING = new Float32Array(0);

function bandField(field: CurveField, straight: boolean, ends: number, from: number, to: number): CurveField {
  const part = (values: Float32Array) => turnedRows(values, ends, from, to);
  return {
    heightMm: part(field.heightMm),
    slope: part(field.slope),
    // Of threads that stay on their lines nobody asks.
    offsetMm: straight ? NOTHING : part(field.offsetMm),
    offsetSlope: straight ? NOTHING : part(field.offsetSlope),
    wrapStartMm: part(field.wrapStartMm),
    wrapEndMm: part(field.wrapEndMm),
    widthFactor: part(field.widthFactor),
    heightFactor: part(field.heightFactor),
    ...(field.gone ? { gone: turnedRows(field.gone, ends, from, to) } : {}),
  };
}

export function bandJob(threads: TiledThreads, scaleMm: number, from: number, to: number, into?: BandNodes): BandJob {
  const { geometry, warpStraight, weftStraight } = threads;
  const { rows, ends, warp, weft } = geometry;
  const beyond = Math.min(rows, to + 1);
  const band: ClothGeometry = {
    ...geometry,
    periodRows: beyond - from,
    warp: bandField(warp, warpStraight, ends, from, beyond),
    weft: bandField(weft, weftStraight, ends, from, beyond),
  };
  return { threads: { ...withoutLifts(threads), geometry: band }, from, to, scaleMm, ...(into ? { into } : {}) };
}

export const NO_FIELD: CurveField = {
  ...{ heightMm: NOTHING, slope: NOTHING, offsetMm: NOTHING, offsetSlope: NOTHING },
  ...{ wrapStartMm: NOTHING, wrapEndMm: NOTHING, widthFactor: NOTHING, heightFactor: NOTHING },
};

export function withoutLifts(threads: TiledThreads): TiledThreads {
  return { ...threads, problem: { ...threads.problem, drawdown: createDrawdown(0, 0) } };
}

function* pack({ threads, from, to, scaleMm, into }: BandJob): Generator<void, PackedBand> {
  const { geometry, warpStraight, weftStraight } = threads;
  const { periodRows, periodEnds, warp, weft } = geometry;
  const nodes = into ?? bandNodes(to - from, periodEnds);
  const { layout } = nodes;
  const first = into ? 0 : from;
  packNodes(nodes.warp, warp, periodEnds, layout, scaleMm, warpStraight, from, to, periodRows, first);
  yield;
  packNodes(nodes.weft, weft, periodEnds, layout, scaleMm, weftStraight, from, to, periodRows, first);
  yield;
  return { ...(into ? {} : { nodes }), reach: reachOfRows(threads, from, to) };
}

/** Lays out the nodes of some rows, and finds which tiles their threads and the warp between them reach. */
export const packBand: Work<BandJob, PackedBand> = {
  name: 'packBand',
  steps: pack,
  given: ({ threads: { geometry } }) =>
    [geometry.warp, geometry.weft].flatMap((field) => Object.values(field).filter(({ length }) => length > 0)),
};

/** Puts nodes of rows from .. to − 1 where they belong in the whole cloth's. */
export function placeNodes(into: BandNodes, band: BandNodes, from: number, to: number): void {
  const { pageWidth, pageHeight, pagesAcross } = into.layout;
  const words = pageWidth * NODE_WORDS;
  for (let row = from; row < to; row++) {
    const firstPage = Math.floor(row / PAGE_SIDE) * pagesAcross;
    for (let page = 0; page < pagesAcross; page++) {
      const source = (page * band.layout.pageHeight + row - from) * words;
      const place = ((firstPage + page) * pageHeight + (row % PAGE_SIDE)) * words;
      for (const family of ['warp', 'weft'] as const)
        into[family].set(band[family].subarray(source, source + words), place);
    }
  }
}
