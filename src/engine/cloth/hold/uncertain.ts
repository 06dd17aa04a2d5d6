import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { measuredRows, rowStart } from '#engine/cloth/heldCrossings.ts';
import { aboutFactor, type Reading } from '#engine/units/reading.ts';
import { texTwistFactor } from '#engine/yarn/twist.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** Threads that leave their straight lines, ends and picks, by at most so much; how far is hardly known beforehand. */
export interface Deflection {
  readonly endsMm: Reading;
  readonly picksMm: Reading;
}

/** Yarns that draw the cloth together by themselves, by index; which system they are in, and why. */
export interface Collapse {
  readonly yarns: readonly number[];
  readonly along: boolean;
  readonly across: boolean;
  readonly why: 'twist' | 'elastic';
}

/** Where a cloth's behaviour is uncertain beyond the ranges of its figures. */
export interface Uncertain {
  readonly deflection?: Deflection;
  readonly collapse?: Collapse;
}

/**
 * A thread curves where it wanders by this share of a space to and fro along itself. In a lace, huck, honeycomb, waffle or
 * deflected weave threads of both systems do; in plain, twill, satin and hopsack neither, in cords and backed cloths one.
 */
const CURVED_SHARE = 0.4;
/** How far threads slide hangs on friction, beat and wash: known within this factor (estimate). */
const SLIDE_FACTOR = 2;
/**
 * Twist factor t√tex of singles from which they curl up once let go: cotton crepe from twist multiplier 6, wool crepe
 * from metric factor 180 (common practice). A ply takes back what twist its singles had.
 */
const LIVELY_TWIST = 5700;
/** Elastic yarn: longer in the cloth than at rest by this much at least. */
const LIVELY_STRETCH = 0.1;

/** What to say besides the figures, and to sample for. Offsets are those of the state that the geometry is in. */
export function uncertainOf(problem: ClothProblem, geometry: ClothGeometry): Uncertain | undefined {
  const deflection = deflectionOf(geometry);
  const collapse = collapseOf(problem);
  if (!deflection && !collapse) return undefined;
  return { ...(deflection ? { deflection } : {}), ...(collapse ? { collapse } : {}) };
}

function deflectionOf(geometry: ClothGeometry): Deflection | undefined {
  const { rows, ends, periodRows, periodEnds, endXMm, rowYMm, warp, weft } = geometry;
  if (rows < 2 || ends < 2) return undefined;
  const least = new Float64Array(periodEnds).fill(Number.POSITIVE_INFINITY);
  const most = new Float64Array(periodEnds).fill(Number.NEGATIVE_INFINITY);
  let picksMm = 0;
  const seen = new Set<number>();
  for (const row of measuredRows(geometry, 1)) {
    const start = rowStart(geometry, row);
    if (seen.has(start)) continue;
    seen.add(start);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let end = 0; end < periodEnds; end++) {
      const across = warp.offsetMm[start + end];
      least[end] = Math.min(least[end], across);
      most[end] = Math.max(most[end], across);
      low = Math.min(low, weft.offsetMm[start + end]);
      high = Math.max(high, weft.offsetMm[start + end]);
    }
    picksMm = Math.max(picksMm, high - low);
    if (!geometry.byKinds && seen.size >= periodRows) break;
  }
  let endsMm = 0;
  for (let end = 0; end < periodEnds; end++) endsMm = Math.max(endsMm, most[end] - least[end]);
  const spaceX = Math.abs(endXMm[ends - 1] - endXMm[0]) / (ends - 1);
  const spaceY = Math.abs(rowYMm[rows - 1] - rowYMm[0]) / (rows - 1);
  if (endsMm < CURVED_SHARE * spaceX || picksMm < CURVED_SHARE * spaceY) return undefined;
  return { endsMm: aboutFactor(endsMm, SLIDE_FACTOR), picksMm: aboutFactor(picksMm, SLIDE_FACTOR) };
}

function collapseOf({ yarns, endYarn, rowYarn }: ClothProblem): Collapse | undefined {
  const used = { along: new Set(endYarn), across: new Set(rowYarn) };
  const of = (why: Collapse['why'], lively: (body: YarnBody) => boolean): Collapse | undefined => {
    const found = yarns.flatMap((body, yarn) => (lively(body) ? [yarn] : []));
    const along = found.some((yarn) => used.along.has(yarn));
    const across = found.some((yarn) => used.across.has(yarn));
    return along || across ? { yarns: found, along, across, why } : undefined;
  };
  return (
    of('twist', ({ plies, shape, tex, twistTurnsPerM }) => {
      return plies === 1 && shape === 'round' && texTwistFactor(twistTurnsPerM, tex) >= LIVELY_TWIST;
    }) ?? of('elastic', ({ finishing }) => (finishing?.laidStretchShare ?? 0) >= LIVELY_STRETCH)
  );
}
