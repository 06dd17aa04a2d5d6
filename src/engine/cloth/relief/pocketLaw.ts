/**
 * Height of a pocket (mm) stitched along two edges at a span L (mm) whose one layer is longer than the other by a share e:
 * the longer layer stands as half a sine, whose length over its span is 1 + (πh/2L)² to second order, so that
 * h = (2L/π)√e. Up to e = 0.1 the exact arc
 * stands at most 4 % higher.
 */
export function pocketHeightMm(spanMm: number, excessShare: number): number {
  return ((2 * spanMm) / Math.PI) * Math.sqrt(Math.max(0, excessShare));
}

/** The other way round: excess that a layer needs to stand so high, as a share. */
export function excessOfHeight(spanMm: number, heightMm: number): number {
  return spanMm > 0 ? ((Math.PI * heightMm) / (2 * spanMm)) ** 2 : 0;
}

/**
 * Share by which a layer is pressed together before it leaves the plane, were it solid: Euler's strut between hinges,
 * (π²/12)(t/L)² (L. Euler 1744). Yarns slide, so real layers stand sooner: it is the late end of a range.
 */
export function solidBuckling(thicknessMm: number, spanMm: number): number {
  return spanMm > 0 ? (Math.PI ** 2 / 12) * (thicknessMm / spanMm) ** 2 : Number.POSITIVE_INFINITY;
}
