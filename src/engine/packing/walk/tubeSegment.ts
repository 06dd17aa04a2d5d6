/**
 * One thread between two nodes, as the walk meets it: u = 0..1 along the pitch; the centre line's sideways offset o(u) and
 * height z(u) as in `CurveField`; semi-axes a(u), b(u). The section stands square to the thread: its extent measured
 * sideways (or upward) grows by sqrt(1 + slope²), which is exact for a straight thread and right to first order in the
 * section's size over the radius of curvature.
 */
export interface TubeSegment {
  /** Start along the thread and sideways position of the thread itself, mm. */
  along: number;
  side: number;
  pitch: number;
  o0: number;
  o1: number;
  o2: number;
  o3: number;
  z0: number;
  z1: number;
  z2: number;
  z3: number;
  wrapStart: number;
  wrapChange: number;
  a0: number;
  aChange: number;
  b0: number;
  bChange: number;
}

export function createTubeSegment(): TubeSegment {
  return {
    along: 0,
    side: 0,
    pitch: 0,
    o0: 0,
    o1: 0,
    o2: 0,
    o3: 0,
    z0: 0,
    z1: 0,
    z2: 0,
    z3: 0,
    wrapStart: 0,
    wrapChange: 0,
    a0: 0,
    aChange: 0,
    b0: 0,
    bChange: 0,
  };
}

/** Centre, its rise per unit u, and semi-axes at a point of a segment. */
export interface TubePoint {
  o: number;
  oRise: number;
  z: number;
  zRise: number;
  a: number;
  b: number;
}

export function createTubePoint(): TubePoint {
  return { o: 0, oRise: 0, z: 0, zRise: 0, a: 0, b: 0 };
}

export function tubePointAt(out: TubePoint, segment: TubeSegment, u: number): void {
  const q = u * (1 - u);
  const wrap = segment.wrapStart + u * segment.wrapChange;
  out.o = segment.o0 + u * (segment.o1 + u * (segment.o2 + u * segment.o3));
  out.oRise = segment.o1 + u * (2 * segment.o2 + 3 * u * segment.o3);
  out.z = segment.z0 + u * (segment.z1 + u * (segment.z2 + u * segment.z3)) + q * q * wrap;
  out.zRise =
    segment.z1 + u * (2 * segment.z2 + 3 * u * segment.z3) + 2 * q * (1 - 2 * u) * wrap + q * q * segment.wrapChange;
  const oSlope = out.oRise / segment.pitch;
  const zSlope = out.zRise / segment.pitch;
  out.a = (segment.a0 + u * segment.aChange) * Math.sqrt(1 + oSlope * oSlope);
  out.b = (segment.b0 + u * segment.bChange) * Math.sqrt(1 + zSlope * zSlope);
}
