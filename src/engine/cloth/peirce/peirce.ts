import type { Millimetres, Radians } from '#engine/units/units.ts';

/**
 * Plain weave of round, perfectly flexible, inextensible threads.
 *
 * F. T. Peirce 1937, The geometry of cloth structure, J. Text. Inst. 28, T45. Symbols are his: suffix 1 warp, 2 weft;
 * d diameter, D = d1 + d2, p spacing of threads (p1 of ends, p2 of picks), l thread length between crossings, θ weave
 * angle, h crimp height (crest to trough of the axis), c = l/p − 1. Warp runs over picks, so it pairs l1, θ1, h1 with p2:
 *   p = (l − D θ) cos θ + D sin θ,   h = (l − D θ) sin θ + D (1 − cos θ),   h1 + h2 = D.
 * Lengths in mm. Real yarns flatten (see `flattened.ts`) and bend in smooth curves (see `elastica.ts`).
 */
export interface ThreadPath {
  readonly angleRad: Radians;
  /** Length between crossings. */
  readonly lengthMm: Millimetres;
  /** Length over spacing, less one. */
  readonly crimp: number;
}

/**
 * Slack for the last digits of a height that was itself computed from a jam, as a share of D: below it a path is taken
 * as jammed instead of impossible.
 */
const JAM_ROUNDING = 1e-9;

/**
 * Path of one thread over crossings `spacingMm` apart with crimp height h, bent round circles of diameter D.
 *
 * Eliminating l from Peirce's two equations leaves p sin θ + (D − h) cos θ = D, so with R² = p² + (D − h)²
 *   θ = asin(D/R) − atan((D − h)/p),   l = D θ + sqrt(R² − D²),
 * exact. Needs p > 0, h ≥ 0 and R ≥ D; R = D is the jam, and below it the thread cannot pass: RangeError.
 */
export function pathFromHeight(spacingMm: Millimetres, heightMm: Millimetres, dMm: Millimetres): ThreadPath {
  const rise = dMm - heightMm;
  const reach = Math.hypot(spacingMm, rise);
  if (!(spacingMm > 0) || !(heightMm >= 0) || reach < dMm * (1 - JAM_ROUNDING)) {
    throw new RangeError(
      `no path of height ${heightMm} mm over crossings ${spacingMm} mm apart round D ${dMm} mm: it would be jammed`,
    );
  }
  const angleRad = Math.asin(Math.min(1, dMm / reach)) - Math.atan2(rise, spacingMm);
  const lengthMm = dMm * angleRad + Math.sqrt(Math.max(0, reach * reach - dMm * dMm));
  return { angleRad, lengthMm, crimp: lengthMm / spacingMm - 1 };
}

/** Greatest crimp height over a spacing: the jam l = D θ, h = D − sqrt(D² − p²); beyond p = D it is not bounded (D). */
export function greatestHeightMm(spacingMm: Millimetres, dMm: Millimetres): Millimetres {
  if (spacingMm >= dMm) return dMm;
  return dMm - Math.sqrt(dMm * dMm - spacingMm * spacingMm);
}

/** Halvings that take any interval of lengths below rounding. */
const BISECTIONS = 60;

/** Root of a function that rises through zero on [low, high]; the nearer end where it has none. */
export function risingRoot(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (a + b) / 2;
    if (f(middle) < 0) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/**
 * Crimp height from crimp: the h at which {@link pathFromHeight} has the given c. Crimp grows with h, so it is found by
 * bisection to rounding. RangeError when even the jam has less crimp.
 */
export function heightFromCrimp(spacingMm: Millimetres, crimp: number, dMm: Millimetres): Millimetres {
  const most = greatestHeightMm(spacingMm, dMm);
  const crimpAt = (h: number) => pathFromHeight(spacingMm, h, dMm).crimp;
  if (!(crimp >= 0) || crimp > crimpAt(most) * (1 + JAM_ROUNDING)) {
    throw new RangeError(
      `crimp ${crimp} over crossings ${spacingMm} mm apart, D ${dMm} mm: it lies between 0 and ${crimpAt(most)}`,
    );
  }
  return risingRoot((h) => crimpAt(h) - crimp, 0, most);
}

/** Peirce's rounded rule h ≈ (4/3) p sqrt(c): 5 % under the exact coefficient at D/p = 0.4 and c = 0.05, 1 % at 1. */
export function heightFromCrimpRounded(spacingMm: Millimetres, crimp: number): Millimetres {
  return (4 / 3) * spacingMm * Math.sqrt(crimp);
}

export interface PlainWeaveInput {
  /** Diameters of warp and weft. */
  readonly d1Mm: Millimetres;
  readonly d2Mm: Millimetres;
  /** Spacing of ends and of picks. */
  readonly p1Mm: Millimetres;
  readonly p2Mm: Millimetres;
}

export interface PlainWeave {
  readonly dMm: Millimetres;
  readonly h1Mm: Millimetres;
  readonly h2Mm: Millimetres;
  readonly warp: ThreadPath;
  readonly weft: ThreadPath;
  readonly thicknessMm: Millimetres;
}

/** Thickness of the cloth: max(h1 + d1, h2 + d2); least, d1 + d2, where h1 = d2 (Peirce 1937). */
export function thicknessMm(d1: Millimetres, d2: Millimetres, h1: Millimetres, h2: Millimetres): Millimetres {
  return Math.max(h1 + d1, h2 + d2);
}

/**
 * The whole plain weave from diameters, spacings and the warp's crimp height h1 (0..D).
 * RangeError where either thread would be jammed.
 */
export function plainWeaveFromHeight(input: PlainWeaveInput, h1Mm: Millimetres): PlainWeave {
  const { d1Mm, d2Mm, p1Mm, p2Mm } = input;
  const dMm = d1Mm + d2Mm;
  const h2Mm = dMm - h1Mm;
  return {
    dMm,
    h1Mm,
    h2Mm,
    warp: pathFromHeight(p2Mm, h1Mm, dMm),
    weft: pathFromHeight(p1Mm, h2Mm, dMm),
    thicknessMm: thicknessMm(d1Mm, d2Mm, h1Mm, h2Mm),
  };
}

/** The same from the warp's crimp c1 = l1/p2 − 1. */
export function plainWeaveFromWarpCrimp(input: PlainWeaveInput, c1: number): PlainWeave {
  return plainWeaveFromHeight(input, heightFromCrimp(input.p2Mm, c1, input.d1Mm + input.d2Mm));
}
