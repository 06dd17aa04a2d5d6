/**
 * Steps of the iteration: three from the ellipse's corner reach 1e-3 of an axis for ellipses up to 10 : 1, two from the place that a
 * point at the distance expected has 1e-4 up to 2.5 : 1, one 1e-5 up to 1.4 : 1.
 */
const STEPS = 3;
const LONG = 2.5;
const NEARLY_ROUND = 1.4;

/** Nearest place of an ellipse to a point, and from there to the point. */
export interface Nearest {
  /** Distance, below 0 inside, in the unit of the axes. */
  distance: number;
  /** The place, as shares of the two semi-axes, 0..1 each: it is mirrored into the point's quarter. */
  wide: number;
  tall: number;
  /** Outward normal there, 0..1 each. */
  normalX: number;
  normalY: number;
}

export function createNearest(): Nearest {
  return { distance: 0, wide: 0, tall: 0, normalX: 0, normalY: 0 };
}

/**
 * Nearest place of the ellipse with semi-axes a, b to the point (x, y), to `out`: each step takes the ellipse for its circle
 * of curvature at the place found so far.
 * @param expected distance, about, where that is known
 */
export function nearestOnEllipse(out: Nearest, x: number, y: number, a: number, b: number, expected = 0): void {
  const px = Math.abs(x);
  const py = Math.abs(y);
  const focal = a * a - b * b;
  let tx = Math.SQRT1_2;
  let ty = Math.SQRT1_2;
  let steps = STEPS;
  if (expected > 0 && a < LONG * b && b < LONG * a) {
    const qx = px / (a + expected);
    const qy = py / (b + expected);
    const per = 1 / Math.max(1e-15, Math.sqrt(qx * qx + qy * qy));
    tx = qx * per;
    ty = qy * per;
    steps = a < NEARLY_ROUND * b && b < NEARLY_ROUND * a ? 1 : 2;
  }
  for (let step = 0; step < steps; step++) {
    const ex = (focal * tx * tx * tx) / a;
    const ey = (-focal * ty * ty * ty) / b;
    const rx = a * tx - ex;
    const ry = b * ty - ey;
    const qx = px - ex;
    const qy = py - ey;
    const scale = Math.sqrt((rx * rx + ry * ry) / Math.max(1e-30, qx * qx + qy * qy));
    tx = Math.min(1, Math.max(0, (qx * scale + ex) / a));
    ty = Math.min(1, Math.max(0, (qy * scale + ey) / b));
    const t = Math.max(1e-15, Math.sqrt(tx * tx + ty * ty));
    tx /= t;
    ty /= t;
  }
  const nx = tx / a;
  const ny = ty / b;
  const per = 1 / Math.sqrt(nx * nx + ny * ny);
  out.wide = tx;
  out.tall = ty;
  out.normalX = nx * per;
  out.normalY = ny * per;
  // Along the normal: exact at the nearest place, and of second order beside it.
  out.distance = (px - a * tx) * out.normalX + (py - b * ty) * out.normalY;
}
