import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import type { HairInCloth } from './packHair.ts';

export interface ThreadSizes {
  readonly halfWidth: Float64Array;
  readonly halfHeight: Float64Array;
  /** How far hair stands off. */
  readonly hair: Float64Array;
  /** The same of hair that light looks at. */
  readonly shading: Float64Array;
}

/** Half the contact width and height of each thread and the height of its hair, from its yarn. */
export function threadSizes(
  problem: ClothProblem,
  yarnOf: Uint16Array,
  { hairMm, shadingMm }: Pick<HairInCloth, 'hairMm' | 'shadingMm'>,
): ThreadSizes {
  const ofThreads = (ofYarn: ArrayLike<number>) => {
    const out = new Float64Array(yarnOf.length);
    for (let k = 0; k < out.length; k++) out[k] = ofYarn[yarnOf[k]];
    return out;
  };
  return {
    halfWidth: ofThreads(problem.yarns.map(({ contactWidthMm }) => contactWidthMm / 2)),
    halfHeight: ofThreads(problem.yarns.map(({ contactHeightMm }) => contactHeightMm / 2)),
    hair: ofThreads(hairMm),
    shading: ofThreads(shadingMm),
  };
}

/** No thread of the family leaves its line sideways: the common case, worth sparing half the work. */
export function isStraight(field: CurveField): boolean {
  const { offsetMm, offsetSlope } = field;
  for (let k = 0; k < offsetMm.length; k++) if (offsetMm[k] !== 0 || offsetSlope[k] !== 0) return false;
  return true;
}

/** Cell of a position: the last thread at or below it, -1 before the first. */
export function cellAt(positions: ArrayLike<number>, at: number): number {
  let lo = -1;
  let hi = positions.length - 1;
  while (lo < hi) {
    const middle = (lo + hi + 1) >> 1;
    if (positions[middle] <= at) lo = middle;
    else hi = middle - 1;
  }
  return lo;
}

/**
 * Of a thread's contact section, what is drawn as body, both ways.
 * @param core share of the section there, 0..1; below 0: of the contact section, since nothing presses wire
 * @param factor the section there over the contact section
 */
export function sectionOfCore(core: number, factor: number): number {
  return core < 0 ? -core : core * factor;
}
