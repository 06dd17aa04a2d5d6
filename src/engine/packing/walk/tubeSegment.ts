import { BEND_SHARE, FOOT_LOOKS, FOOT_STEPS, limitedWrap, TIGHT_BEND } from '#engine/cloth/bend.ts';

/**
 * One thread between two nodes, as the walk meets it: u = 0..1 along the pitch; the centre line's sideways offset o(u) and
 * height z(u) as in `CurveField`; semi-axes a(u), b(u) of a section that stands square to the centre line.
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
  /** It bends about as tightly as it is thick, or more (`settleBend`). */
  tight: boolean;
  /** Half contact width and height. */
  contactA: number;
  contactB: number;
  /** By how much longer it is sideways and up than on its line, a mm, where it stands for a piece of a bend (extraPiece.ts). */
  longerSide: number;
  longerUp: number;
  /** Where the thread's hair begins in the material table (packHair.ts); the sections above are its core's. */
  hair: number;
  /** Where its mesh begins in the material table (packMaterials.ts); row * 2, or end * 2 + 1. */
  mesh: number;
  thread: number;
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
    tight: false,
    contactA: 0,
    contactB: 0,
    longerSide: 0,
    longerUp: 0,
    hair: 0,
    mesh: 0,
    thread: 0,
  };
}

/** Centre line at a point of a segment, its slopes and bends (first and second derivatives, per mm), and semi-axes. */
export interface TubePoint {
  o: number;
  oSlope: number;
  oBend: number;
  z: number;
  zSlope: number;
  zBend: number;
  a: number;
  aSlope: number;
  b: number;
  bSlope: number;
}

export function createTubePoint(): TubePoint {
  return { o: 0, oSlope: 0, oBend: 0, z: 0, zSlope: 0, zBend: 0, a: 0, aSlope: 0, b: 0, bSlope: 0 };
}

export function tubePointAt(out: TubePoint, segment: TubeSegment, u: number): void {
  const perMm = 1 / segment.pitch;
  const q = u * (1 - u);
  const q1 = 1 - 2 * u;
  const wrap = segment.wrapStart + u * segment.wrapChange;
  out.o = segment.o0 + u * (segment.o1 + u * (segment.o2 + u * segment.o3));
  out.oSlope = (segment.o1 + u * (2 * segment.o2 + 3 * u * segment.o3)) * perMm;
  out.oBend = (2 * segment.o2 + 6 * u * segment.o3) * perMm * perMm;
  out.z = segment.z0 + u * (segment.z1 + u * (segment.z2 + u * segment.z3)) + q * q * wrap;
  out.zSlope =
    (segment.z1 + u * (2 * segment.z2 + 3 * u * segment.z3) + 2 * q * q1 * wrap + q * q * segment.wrapChange) * perMm;
  out.zBend =
    (2 * segment.z2 + 6 * u * segment.z3 + (2 * q1 * q1 - 4 * q) * wrap + 4 * q * q1 * segment.wrapChange) *
    perMm *
    perMm;
  const within = Math.min(1, Math.max(0, u));
  const share = within * within * (3 - 2 * within);
  const rate = 6 * within * (1 - within) * perMm;
  out.a = segment.a0 + share * segment.aChange;
  out.aSlope = segment.aChange * rate;
  out.b = segment.b0 + share * segment.bChange;
  out.bSlope = segment.bChange * rate;
}

/** Half the section over the radius of the tightest bend: at the nodes and half way. */
function tightness(s: TubeSegment): number {
  const start = s.wrapStart;
  const end = start + s.wrapChange;
  const half = Math.abs(s.z2 + 1.5 * s.z3 - 0.25 * (start + end));
  const bendZ = Math.max(Math.abs(s.z2 + start), Math.abs(s.z2 + 3 * s.z3 + end), half);
  const bendO = Math.max(Math.abs(s.o2), Math.abs(s.o2 + 3 * s.o3));
  const a = s.a0 + Math.max(0, s.aChange);
  const b = s.b0 + Math.max(0, s.bChange);
  return (2 * Math.max(bendZ * b, bendO * a)) / (s.pitch * s.pitch);
}

/** Limits the wraps of a segment that bends tightly, and sets `tight` where it still does. */
export function settleBend(s: TubeSegment): void {
  s.tight = tightness(s) > TIGHT_BEND;
  if (!s.tight) return;
  const end = limitedWrap(s.wrapStart + s.wrapChange, s.z2 + 3 * s.z3);
  s.wrapStart = limitedWrap(s.wrapStart, s.z2);
  s.wrapChange = end - s.wrapStart;
  s.tight = tightness(s) > TIGHT_BEND;
}

/**
 * The centre line's point from which a place at u is looked at, to `out`; how far beyond it the place lies along the thread,
 * mm. Where the segment bends tightly that is the foot of the perpendicular on the curve, by Newton's steps from the nearest
 * of a few places; else the point at u itself.
 */
export function footPoint(out: TubePoint, segment: TubeSegment, u: number, side: number, up: number): number {
  if (!segment.tight) {
    tubePointAt(out, segment, u);
    return 0;
  }
  let share = 0;
  let nearest = Number.POSITIVE_INFINITY;
  for (let k = 0; k < FOOT_LOOKS; k++) {
    const v = (k + 0.5) / FOOT_LOOKS;
    const q = v * (1 - v);
    const w = side - segment.o0 - v * (segment.o1 + v * (segment.o2 + v * segment.o3));
    const wrap = q * q * (segment.wrapStart + v * segment.wrapChange);
    const h = up - segment.z0 - v * (segment.z1 + v * (segment.z2 + v * segment.z3)) - wrap;
    const away = ((u - v) * segment.pitch) ** 2 + w * w + h * h;
    if (away < nearest) {
      nearest = away;
      share = v;
    }
  }
  for (let k = 0; k < FOOT_STEPS; k++) {
    tubePointAt(out, segment, share);
    const along = (u - share) * segment.pitch;
    const w = side - out.o;
    const h = up - out.z;
    const grade = 1 + out.oSlope * out.oSlope + out.zSlope * out.zSlope;
    // Inside a bend, near the centre of its circle, every place is as near as the next.
    const rate = Math.max(0.5 * grade, grade - w * out.oBend - h * out.zBend);
    share = Math.min(1, Math.max(0, share + (along + w * out.oSlope + h * out.zSlope) / (rate * segment.pitch)));
  }
  tubePointAt(out, segment, share);
  return (u - share) * segment.pitch;
}

/** Section function F (0 on the surface, below 0 inside) and, for the ray given, its linearised section. */
export interface SectionValue {
  f: number;
  /** F(t + δ) ≈ f + 2 qb δ + qa δ². */
  qa: number;
  qb: number;
  /** Place in the section, whose edge is the unit circle, and how that changes with t. */
  x: number;
  y: number;
  dx: number;
  dy: number;
}

export function createSectionValue(): SectionValue {
  return { f: 0, qa: 0, qb: 0, x: 0, y: 0, dx: 0, dy: 0 };
}

function within(value: number, most: number): number {
  return Math.min(most, Math.max(-most, value));
}

/**
 * Where a point (side, up from the thread's line) lies in the section that stands square to the centre line: the foot of
 * the perpendicular is taken on the tangent, and the curve's bend between there and here is allowed for. Exact for a
 * straight thread; the error is of third order in section size over radius of curvature (under 1 % of the half height for
 * a plain weave that leans 42°), and none where p is the foot itself. Rates are the ray's, mm a unit of t: along the thread,
 * sideways, up.
 * @param ahead how far beyond p the point lies along the thread, mm (`footPoint`)
 */
export function sectionAt(
  out: SectionValue,
  p: TubePoint,
  ahead: number,
  side: number,
  up: number,
  alongRate: number,
  sideRate: number,
  upRate: number,
): void {
  const w = side - p.o - ahead * p.oSlope;
  const h = up - p.z - ahead * p.zSlope;
  const grade = 1 / (1 + p.oSlope * p.oSlope + p.zSlope * p.zSlope);
  const foot = ahead + (w * p.oSlope + h * p.zSlope) * grade;
  const wRate = sideRate - p.oSlope * alongRate;
  const hRate = upRate - p.zSlope * alongRate;
  const footRate = (wRate * p.oSlope + hRate * p.zSlope) * grade;
  const mostO = BEND_SHARE * p.a;
  const mostZ = BEND_SHARE * p.b;
  // A curve that bends more tightly than its thread is thick folds the section over itself, and rays slip through the fold.
  const curveO = within(p.oBend, (2 * BEND_SHARE) / p.a);
  const curveZ = within(p.zBend, (2 * BEND_SHARE) / p.b);
  const bendO = within(0.5 * foot * foot * curveO, mostO);
  const bendZ = within(0.5 * foot * foot * curveZ, mostZ);
  // Axes of the section: level and square to the tangent (1, o', z'), and square to both.
  const level2 = 1 + p.oSlope * p.oSlope;
  const lean = (p.oSlope * p.zSlope) / level2;
  // A section never falls below a fifth of itself within the foot's reach.
  const scaleO = 1 / (Math.sqrt(level2) * Math.max(0.2 * p.a, p.a + foot * p.aSlope));
  const scaleZ = Math.sqrt(level2 * grade) / Math.max(0.2 * p.b, p.b + foot * p.bSlope);
  const x = (w - bendO) * scaleO;
  const y = (h - bendZ - (w - bendO) * lean) * scaleZ;
  const dw = wRate - foot * footRate * curveO;
  const dx = dw * scaleO;
  const dy = (hRate - foot * footRate * curveZ - dw * lean) * scaleZ;
  out.f = x * x + y * y - 1;
  out.qa = dx * dx + dy * dy;
  out.qb = x * dx + y * dy;
  out.x = x;
  out.y = y;
  out.dx = dx;
  out.dy = dy;
}
