import type { ClothGeometry, KindBand, KindFields } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import { type UnevenRows, unevenRows } from '#engine/cloth/forecast/unevenThreads.ts';
import { type BandKinds, bandKinds, KIND_NUMBERS } from '#engine/cloth/kinds/kindFields.ts';
import { KindNodes } from './kindNodes.ts';
import { KindReach, stretchesOf } from './kindReach.ts';
import { type BandNodes, bandNodes, NO_FIELD, type PackedBand, withoutLifts } from './packBand.ts';
import { nextTileLine, noneReached, type TiledThreads } from './packTiles.ts';
import { threadSizes } from './threadSizes.ts';
import { ThreadRanges, type TileReach } from './tileReach.ts';

/** Rows from .. to − 1 of a cloth that is known by kinds of crossing, to be laid out apart from the others. */
export interface KindBandJob {
  /** Of the whole cloth, but for lifts and fields. */
  readonly threads: TiledThreads;
  readonly kinds: BandKinds;
  readonly from: number;
  readonly to: number;
  readonly scaleMm: number;
  /** The whole cloth's nodes, where these can be written from another thread. */
  readonly into?: BandNodes;
}

/** Where the weft's numbers begin in a kind's; the warp's stand before them. */
const WEFT = KIND_NUMBERS / 2;

export function kindBandJob(
  threads: TiledThreads,
  scaleMm: number,
  fields: KindFields,
  band: KindBand,
  into?: BandNodes,
): KindBandJob {
  const { byKinds: _, ...rest } = threads.geometry;
  const geometry: ClothGeometry = { ...rest, warp: NO_FIELD, weft: NO_FIELD };
  const { from, to } = band;
  const kinds = bandKinds(fields, band);
  return { threads: { ...withoutLifts(threads), geometry }, kinds, from, to, scaleMm, ...(into ? { into } : {}) };
}

function* pack(job: KindBandJob): Generator<void, PackedBand> {
  const { threads, kinds, from, to } = job;
  const uneven = unevenRows(threads.problem, threads.geometry, from, from + kinds.perYMm.length);
  yield;
  const nodes = job.into ?? bandNodes(to - from, kinds.perXMm.length);
  writeNodes(nodes, job, uneven);
  yield;
  const reach = noneReached(threads);
  reachWarp(reach, job, uneven?.warp);
  yield;
  reachWeft(reach, job, uneven?.weft);
  return { ...(job.into ? {} : { nodes }), reach: reach.reached() };
}

function writeNodes({ warp, weft, layout }: BandNodes, job: KindBandJob, uneven: UnevenRows | undefined): void {
  const { threads, kinds, scaleMm, from, to, into } = job;
  const { perXMm, perYMm } = kinds;
  const ofWarp = new KindNodes(kinds, 0, scaleMm, threads.warpStraight);
  const ofWeft = new KindNodes(kinds, WEFT, scaleMm, threads.weftStraight);
  const perRowMm = new Float64Array(perXMm.length);
  for (let row = 0; row < to - from; row++) {
    const texelRow = into ? from + row : row;
    ofWarp.write(warp, layout, row, texelRow, perRowMm.fill(perYMm[row]), uneven?.warp);
    ofWeft.write(weft, layout, row, texelRow, perXMm, uneven?.weft);
  }
}

const mostOf = (factors: Float64Array | undefined, a: number, b: number) =>
  factors ? Math.max(factors[a], factors[b]) : 1;

function reachOf({ threads, kinds }: KindBandJob, warp: boolean, positionMm: ArrayLike<number>, perMm: Float64Array) {
  const { problem, warpStraight, weftStraight } = threads;
  return new KindReach(
    kinds,
    warp ? 0 : WEFT,
    warp ? warpStraight : weftStraight,
    problem.yarns.map(({ contactWidthMm }) => contactWidthMm / 2),
    problem.yarns.map(({ contactHeightMm }) => contactHeightMm / 2),
    stretchesOf(positionMm, perMm),
  );
}

/** Warp from each of the band's rows to the next: that of an end within a tile's rows together. */
function reachWarp(reach: TileReach, job: KindBandJob, factors: Float64Array | undefined): void {
  const { threads, kinds, from } = job;
  const { problem, lines, hairs } = threads;
  const { kindOf, perYMm } = kinds;
  const { ends, endYarn } = problem;
  const { hair, shading } = threadSizes(problem, endYarn, hairs);
  const ofKinds = reachOf(job, true, lines.yMm.subarray(from, from + perYMm.length), perYMm);
  const ranges = new ThreadRanges(ends);
  const last = Math.min(job.to, lines.count - 1);
  for (let line = from; line < last; ) {
    const first = line;
    const stop = Math.min(last, nextTileLine(line));
    ranges.clear();
    for (; line < stop; line++) {
      for (let end = 0, k = (line - from) * ends; end < ends; end++, k++) {
        const factor = mostOf(factors, k, k + ends);
        ofKinds.add(ranges, end, kindOf[k], kindOf[k + ends], line - from, endYarn[end], factor);
      }
    }
    for (let end = 0; end < ends; end++) reach.addWarp(end, first, ranges, end, hair[end], shading[end]);
    reach.grow(1, lines.yMm[first], lines.yMm[stop]);
  }
}

/** Weft of the band's rows: that of a row within a tile's ends together. */
function reachWeft(reach: TileReach, job: KindBandJob, factors: Float64Array | undefined): void {
  const { threads, kinds, from, to } = job;
  const { problem, geometry, hairs } = threads;
  const { kindOf, perXMm } = kinds;
  const { ends, rowYarn } = problem;
  const { hair, shading } = threadSizes(problem, rowYarn, hairs);
  const ofKinds = reachOf(job, false, geometry.endXMm, perXMm);
  const ranges = new ThreadRanges(1);
  for (let row = from; row < to; row++) {
    for (let end = 0, k = (row - from) * ends; end < ends - 1; ) {
      const first = end;
      const stop = Math.min(ends - 1, nextTileLine(end));
      ranges.clear();
      for (; end < stop; end++, k++) {
        const factor = mostOf(factors, k, k + 1);
        ofKinds.add(ranges, 0, kindOf[k], kindOf[k + 1], end, rowYarn[row], factor);
      }
      reach.addWeft(first, row, ranges, 0, hair[row], shading[row]);
    }
  }
  reach.grow(0, geometry.endXMm[0], geometry.endXMm[ends - 1]);
}

/** Lays out the nodes of some rows of a cloth known by kinds, and finds which tiles their threads and the warp between them reach. */
export const packKinds: Work<KindBandJob, PackedBand> = {
  name: 'packKinds',
  steps: pack,
  given: ({ kinds: { known } }) => [known],
};
