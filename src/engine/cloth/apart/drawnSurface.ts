import { BEND_SHARE } from '#engine/cloth/bend.ts';
import { createCurvePoint, curvePoint, sectionStep } from '#engine/cloth/curve.ts';
import { footOn, type Stretch } from './tightBend.ts';

/** How a place lies in a stretch as the picture draws it; along the thread, across it to the right, and up. */
export interface InSurface {
  /** How deep, mm; below 0 outside, where it is near the surface. */
  depthMm: number;
  /** The surface's normal there, out of the thread. */
  alongN: number;
  acrossN: number;
  upN: number;
  /** By how much a mm less of half width and half height takes the surface away from the place. */
  wide: number;
  tall: number;
  /** Distance from the middle, mm, and where along the thread its section's middle lies beyond the place. */
  radiusMm: number;
  footMm: number;
  /** How steeply the thread climbs and leads aside, together. */
  steepness: number;
}

export function createInSurface(): InSurface {
  return { depthMm: 0, alongN: 0, acrossN: 0, upN: 0, wide: 0, tall: 0, radiusMm: 0, footMm: 0, steepness: 0 };
}

const at = createCurvePoint();

const within = (value: number, most: number) => Math.min(most, Math.max(-most, value));

/**
 * How a place lies in a stretch: in a plane across the thread its surface is where the foot on the tangent there, and the bend there, put
 * it (`sectionAt`), which at a node is not where the neighbouring stretch has it.
 * @param place along the stretch, 0..1, @param across, height of the place, from the thread's line and the cloth's middle, mm
 * @param tight whether the stretch bends tightly
 */
export function lieIn(
  out: InSurface,
  stretch: Stretch,
  place: number,
  across: number,
  height: number,
  tight = false,
): void {
  const { of, thread, from, to, pitchMm } = stretch;
  const f = of.field;
  let u = place;
  if (tight) u = footOn(at, stretch, place, across, height);
  else curvePoint(at, f, from, to, pitchMm, u);
  const ahead = (place - u) * pitchMm;
  const { slope, offsetSlope } = at;
  const w = across - at.offset - ahead * offsetSlope;
  const h = height - at.height - ahead * slope;
  const level2 = 1 + offsetSlope * offsetSlope;
  const grade = 1 / (level2 + slope * slope);
  const foot = ahead + (w * offsetSlope + h * slope) * grade;
  const share = sectionStep(u);
  const rate = (6 * u * (1 - u)) / pitchMm;
  const aChange = of.halfWidthMm[thread] * (f.widthFactor[to] - f.widthFactor[from]);
  const bChange = of.halfHeightMm[thread] * (f.heightFactor[to] - f.heightFactor[from]);
  const a = of.halfWidthMm[thread] * f.widthFactor[from] + share * aChange;
  const b = of.halfHeightMm[thread] * f.heightFactor[from] + share * bChange;
  const bendO = within(0.5 * foot * foot * within(at.offsetBend, (2 * BEND_SHARE) / a), BEND_SHARE * a);
  const bendZ = within(0.5 * foot * foot * within(at.bend, (2 * BEND_SHARE) / b), BEND_SHARE * b);
  const aThere = Math.max(0.2 * a, a + foot * rate * aChange);
  const bThere = Math.max(0.2 * b, b + foot * rate * bChange);
  const x = (w - bendO) / (Math.sqrt(level2) * aThere);
  const y = ((h - bendZ - ((w - bendO) * offsetSlope * slope) / level2) * Math.sqrt(level2 * grade)) / bThere;
  const r = Math.max(1e-6, Math.sqrt(x * x + y * y));
  const nx = x / aThere;
  const ny = y / bThere;
  const per = 1 / Math.max(1e-9, Math.sqrt(nx * nx + ny * ny));
  const aside = nx * per;
  const up = ny * per;
  out.depthMm = (1 - r) * r * per;
  // The section stands square to the thread where its middle is.
  const climb = slope + within(foot * at.bend, 1);
  const lead = offsetSlope + within(foot * at.offsetBend, 1);
  const level = 1 / Math.sqrt(1 + lead * lead);
  const length = 1 / Math.sqrt(1 + lead * lead + climb * climb);
  out.alongN = -aside * lead * level - up * climb * level * length;
  out.acrossN = aside * level - up * lead * climb * level * length;
  out.upN = (up * length) / level;
  out.wide = (x / r) * aside;
  out.tall = (y / r) * up;
  out.radiusMm = Math.sqrt(x * x * aThere * aThere + y * y * bThere * bThere);
  out.footMm = foot - ahead;
  out.steepness = Math.abs(slope) + Math.abs(offsetSlope);
}
