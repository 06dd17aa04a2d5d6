/** What lifted cloth is made of, along its warp. */
export interface LiftedCloth {
  /** Bending stiffness, N mm² a mm of width. */
  readonly stiffnessNmm: number;
  /** Weight, N/mm². */
  readonly weightNPerMm2: number;
}

/** Where a line across the cloth holds one end up (or down), in order along the end. */
export interface Support {
  readonly yMm: number;
  readonly zMm: number;
}

/** A lifted cloth is nowhere shorter than this over its height: more than 50° steep, small-slope bending tells nothing. */
const LEAST_LENGTH_OVER_HEIGHT = 1.5;

/**
 * How far from the line that holds it a cloth lying on a table comes away from it, lifted by h: B z'''' = −w, level at the line and
 * where it leaves the table, where its bending moment is none; so h = wL⁴/72B (the ruck of a rug: D. Vella, A. Boudaoud &
 * M. Adda-Bedia 2009, Phys. Rev. Lett. 103, 174301, from memory; solved here). Slopes are small; steep ones are held to 50°.
 */
export function liftedLengthMm(heightMm: number, { stiffnessNmm, weightNPerMm2 }: LiftedCloth): number {
  const height = Math.abs(heightMm);
  return Math.max(((72 * stiffnessNmm * height) / weightNPerMm2) ** 0.25, LEAST_LENGTH_OVER_HEIGHT * height);
}

/** Height over that of the line that holds it, at share u of the lifted length: 4(1 − u)³ − 3(1 − u)⁴. */
export function liftedShare(u: number): number {
  const rest = 1 - u;
  return u >= 1 ? 0 : rest * rest * rest * (4 - 3 * rest);
}

/**
 * Heights of one end over a table where lines hold it up, mm, written to `out`. Between two lines it hangs as a beam clamped level
 * at both, sagging by w d²(g − d)²/24B (S. P. Timoshenko, Strength of Materials I), or lies on the table where that is lower.
 * Held down, it is the same from the other side.
 * @param yMm places, ascending @param supports ascending
 */
export function liftedEnd(
  out: Float64Array,
  yMm: ArrayLike<number>,
  supports: readonly Support[],
  cloth: LiftedCloth,
): void {
  const lengths = supports.map(({ zMm }) => liftedLengthMm(zMm, cloth));
  let next = 0;
  for (let k = 0; k < out.length; k++) {
    while (next < supports.length && supports[next].yMm < yMm[k]) next++;
    const before = supports[next - 1];
    const after = supports[next];
    const below = before ? before.zMm * liftedShare((yMm[k] - before.yMm) / lengths[next - 1]) : 0;
    const above = after ? after.zMm * liftedShare((after.yMm - yMm[k]) / lengths[next]) : 0;
    if (below * above < 0) {
      out[k] = below + above;
      continue;
    }
    out[k] = Math.abs(below) > Math.abs(above) ? below : above;
    if (!before || !after || before.zMm * after.zMm <= 0) continue;
    const gap = after.yMm - before.yMm;
    const from = yMm[k] - before.yMm;
    const u = from / gap;
    const line = Math.abs(before.zMm + (after.zMm - before.zMm) * u * u * (3 - 2 * u));
    const sag = (cloth.weightNPerMm2 * from * from * (gap - from) ** 2) / (24 * cloth.stiffnessNmm);
    if (line - sag > Math.abs(out[k])) out[k] = Math.sign(before.zMm) * (line - sag);
  }
}
