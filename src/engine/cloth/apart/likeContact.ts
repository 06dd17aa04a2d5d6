import { sectionStep } from '#engine/cloth/curve.ts';
import type { Contact } from './contact.ts';
import { createNearest, nearestOnEllipse } from './nearestOnEllipse.ts';
import { addAside, addCurve, addSections, type Moves, type Span } from './span.ts';

/** Where threads rise by more than this times their half heights they lean by less than the slope that it would take to touch. */
const MOST_LEAN = 4;

const nearest = createNearest();

/**
 * Two like threads from one line to the next: their sections' middles must keep as far apart as their ellipses need. Both lean
 * alike where they touch, so their rise counts square to their mean slope.
 * @param apartMm distance of their lines, the second beyond the first
 * @returns whether they lie in one another by more than `leastMm`
 */
export function meetLike(
  contact: Contact,
  first: Span,
  second: Span,
  apartMm: number,
  leastMm: number,
  soft: boolean,
  moves: Moves,
): boolean {
  const { of, from, to, pitchMm } = first;
  const parts = Math.min(first.parts, second.parts);
  const [each, eachOther] = [first.parts / parts, second.parts / parts];
  const f = of.field;
  const { widthFactor, heightFactor } = f;
  const wide0 =
    of.halfWidthMm[first.thread] * widthFactor[from] + of.halfWidthMm[second.thread] * widthFactor[second.from];
  const wide1 = of.halfWidthMm[first.thread] * widthFactor[to] + of.halfWidthMm[second.thread] * widthFactor[second.to];
  const tall0 =
    of.halfHeightMm[first.thread] * heightFactor[from] + of.halfHeightMm[second.thread] * heightFactor[second.from];
  const tall1 =
    of.halfHeightMm[first.thread] * heightFactor[to] + of.halfHeightMm[second.thread] * heightFactor[second.to];
  let least = 1;
  let place = -1;
  let besideThere = 0;
  let riseThere = 0;
  let uprightThere = 1;
  for (let k = 0; k <= parts; k++) {
    const u = k / parts;
    const share = sectionStep(u);
    const tall = tall0 + share * (tall1 - tall0);
    const rise = second.heights[k * eachOther] - first.heights[k * each];
    if (Math.abs(rise) >= MOST_LEAN * tall) continue;
    const x = apartMm + second.offsets[k * eachOther] - first.offsets[k * each];
    const sx = x / (wide0 + share * (wide1 - wide0));
    if (sx * sx >= least) continue;
    const a = Math.max(0, k - 1);
    const b = Math.min(parts, k + 1);
    const climb =
      first.heights[b * each] - first.heights[a * each] + second.heights[b * eachOther] - second.heights[a * eachOther];
    const slope = (climb * parts) / (2 * (b - a) * pitchMm);
    const upright = 1 / Math.sqrt(1 + slope * slope);
    const sy = (rise * upright) / tall;
    const within = sx * sx + sy * sy;
    if (within >= least) continue;
    least = within;
    place = k;
    besideThere = x;
    riseThere = rise;
    uprightThere = upright;
  }
  if (place < 0) return false;
  const u = place / parts;
  const there = sectionStep(u);
  nearestOnEllipse(
    nearest,
    besideThere,
    riseThere * uprightThere,
    wide0 + there * (wide1 - wide0),
    tall0 + there * (tall1 - tall0),
  );
  const worst = -nearest.distance;
  if (worst <= leastMm) return false;
  const normalX = besideThere < 0 ? -nearest.normalX : nearest.normalX;
  const normalY = (riseThere < 0 ? -nearest.normalY : nearest.normalY) * uprightThere;
  const edgeWide = nearest.wide * nearest.normalX;
  const edgeTall = nearest.tall * nearest.normalY;
  contact.begin(worst);
  addSections(contact, first, u, edgeTall, edgeWide, soft);
  addSections(contact, second, u, edgeTall, edgeWide, soft);
  if (soft) return true;
  addCurve(contact, first, u, -normalY);
  addCurve(contact, second, u, normalY);
  if (moves === 'upright') return true;
  addAside(contact, first, u, -normalX);
  addAside(contact, second, u, normalX);
  return true;
}
