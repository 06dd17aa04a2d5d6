/** Carlson's forms converge as 4^-n; here to double precision. */
const CARLSON_TOLERANCE = 1e-4;

/**
 * Carlson's R_F(x, y, z), x, y, z ≥ 0 with at most one zero, by duplication.
 * B. C. Carlson 1979, Numer. Math. 33, 1; truncation error below the sixth power of the tolerance.
 */
export function carlsonRF(x0: number, y0: number, z0: number): number {
  let [x, y, z] = [x0, y0, z0];
  for (;;) {
    const [sx, sy, sz] = [Math.sqrt(x), Math.sqrt(y), Math.sqrt(z)];
    const lambda = sx * sy + sy * sz + sz * sx;
    x = (x + lambda) / 4;
    y = (y + lambda) / 4;
    z = (z + lambda) / 4;
    const mean = (x + y + z) / 3;
    const [dx, dy, dz] = [1 - x / mean, 1 - y / mean, 1 - z / mean];
    if (Math.max(Math.abs(dx), Math.abs(dy), Math.abs(dz)) < CARLSON_TOLERANCE) {
      const e2 = dx * dy - dz * dz;
      const e3 = dx * dy * dz;
      return (1 + (e2 / 24 - 0.1 - (3 * e3) / 44) * e2 + e3 / 14) / Math.sqrt(mean);
    }
  }
}

/** Carlson's R_D(x, y, z), z > 0, at most one of x, y zero; same source and error as {@link carlsonRF}. */
export function carlsonRD(x0: number, y0: number, z0: number): number {
  let [x, y, z] = [x0, y0, z0];
  let sum = 0;
  let factor = 1;
  for (;;) {
    const [sx, sy, sz] = [Math.sqrt(x), Math.sqrt(y), Math.sqrt(z)];
    const lambda = sx * sy + sy * sz + sz * sx;
    sum += factor / (sz * (z + lambda));
    factor /= 4;
    x = (x + lambda) / 4;
    y = (y + lambda) / 4;
    z = (z + lambda) / 4;
    const mean = (x + y + 3 * z) / 5;
    const [dx, dy, dz] = [1 - x / mean, 1 - y / mean, 1 - z / mean];
    if (Math.max(Math.abs(dx), Math.abs(dy), Math.abs(dz)) < CARLSON_TOLERANCE) {
      const ea = dx * dy;
      const eb = dz * dz;
      const ec = ea - eb;
      const ed = ea - 6 * eb;
      const ee = ed + ec + ec;
      const series =
        1 +
        ed * (-3 / 14 + (9 / 88) * ed - (4.5 / 26) * dz * ee) +
        dz * ((1 / 6) * ee + dz * ((-9 / 22) * ec + dz * (3 / 26) * ea));
      return 3 * sum + (factor * series) / (mean * Math.sqrt(mean));
    }
  }
}

/** Legendre's incomplete integral of the first kind F(φ, k), 0 ≤ φ ≤ π/2, 0 ≤ k < 1. */
export function ellipticF(phi: number, k: number): number {
  const s = Math.sin(phi);
  const c = Math.cos(phi);
  return s * carlsonRF(c * c, 1 - k * k * s * s, 1);
}

/** Legendre's incomplete integral of the second kind E(φ, k), same range. */
export function ellipticE(phi: number, k: number): number {
  const s = Math.sin(phi);
  const c = Math.cos(phi);
  const q = 1 - k * k * s * s;
  return s * carlsonRF(c * c, q, 1) - ((k * s) ** 2 * s * carlsonRD(c * c, q, 1)) / 3;
}
