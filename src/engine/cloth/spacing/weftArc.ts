/**
 * Length of a circle's arc over its chord: an arc of height h over a chord W has radius (W² + 4h²)/8h and turns by 4 atan(2h/W).
 * About 1 + 8/3 (h/W)². Both in the same unit; 1 where either is 0.
 */
export function arcLength(chord: number, height: number): number {
  if (!(chord > 0 && height > 0)) return 1;
  const radius = (chord * chord + 4 * height * height) / (8 * height);
  return (radius * 4 * Math.atan((2 * height) / chord)) / chord;
}
