import type { ClothGeometry, ClothProblem, CutEnd } from '#engine/cloth/clothTypes.ts';
import { curveHeight } from '#engine/cloth/curve.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import type { Point, TailPiece } from './smoothWay.ts';

/** A quadratic Bézier tube, mm. */
export interface EndTube {
  readonly points: TailPiece;
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/** Ends this many half widths long open into their plies; shorter ones stay as blunt as the blade left them. */
const OPENS_HALF_WIDTHS = 3;
/** Of a longer end, at least so much keeps its twist; and no more opens than so many half widths, least and most (estimates). */
const KEEPS = 0.55;
const OPEN_HALF_WIDTHS = [4, 9] as const;
/** Plies of an opened end are drawn up to this many. */
const MOST_PLIES = 4;
/** How far apart plies stand at their tips, of the length that is open: tan of about 20° (estimate). */
const SPREAD = 0.36;

/** Where a thread runs: x, y, z at crossing `crossing` and on to the next by share u. */
type Course = (crossing: number, u: number) => [number, number, number];

function courseOf(problem: ClothProblem, geometry: ClothGeometry, lines: ClothLines, { warp, thread }: CutEnd): Course {
  const { periodRows, periodEnds, endXMm } = geometry;
  const node = (crossing: number) => {
    const row = warp ? rowAtLine(problem, lines, crossing, thread) : thread;
    return (row % periodRows) * periodEnds + ((warp ? thread : crossing) % periodEnds);
  };
  const field = warp ? geometry.warp : geometry.weft;
  const places: ArrayLike<number> = warp ? lines.yMm : endXMm;
  const side = warp ? endXMm[thread] : lines.yMm[lines.lineOfRow[thread]];
  return (crossing, u) => {
    const next = Math.min(crossing + 1, places.length - 1);
    const pitch = places[next] - places[crossing];
    const [a, b] = [node(crossing), node(next)];
    const along = places[crossing] + u * pitch;
    const beside = side + (1 - u) * field.offsetMm[a] + u * field.offsetMm[b];
    const z = pitch > 0 ? curveHeight(field, a, b, pitch, u) : field.heightMm[a];
    return warp ? [beside, along, z] : [along, beside, z];
  };
}

/** The place `mm` on from a crossing along the way that the thread took before it was cut. */
function follow(
  course: Course,
  places: ArrayLike<number>,
  { crossing, direction }: CutEnd,
  mm: number,
): [number, number, number] {
  const target = places[crossing] + direction * mm;
  let at = direction > 0 ? crossing : crossing - 1;
  const beyond = (k: number) => (direction > 0 ? places[k + 1] < target : places[k] > target);
  while (at + direction >= 0 && at + direction < places.length - 1 && beyond(at)) at += direction;
  const pitch = places[at + 1] - places[at];
  return course(at, Math.min(1, Math.max(0, (target - places[at]) / pitch)));
}

/** The tubes of an end that stands where a thread was cut: the thread itself, opened at its tip where it is long enough. */
export function cutEndTubes(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  cutEnd: CutEnd,
): EndTube[] {
  const { warp, thread, crossing, direction } = cutEnd;
  const body = problem.yarns[warp ? problem.endYarn[thread] : problem.rowYarn[thread]];
  const row = warp ? rowAtLine(problem, lines, crossing, thread) : thread;
  const field = warp ? geometry.warp : geometry.weft;
  const at = (row % geometry.periodRows) * geometry.periodEnds + ((warp ? thread : crossing) % geometry.periodEnds);
  const halfWidth = (body.contactWidthMm / 2) * field.widthFactor[at];
  const halfHeight = (body.contactHeightMm / 2) * field.heightFactor[at];
  // Tubes end in a half sphere, which reaches up to the cut.
  const lengthMm = Math.max(cutEnd.lengthMm - halfWidth, halfWidth / 4);
  const course = courseOf(problem, geometry, lines, cutEnd);
  const places = warp ? lines.yMm : geometry.endXMm;
  const place = (mm: number) => follow(course, places, cutEnd, mm);
  const through = (from: number, to: number): EndTube['points'] => {
    const [a, b, c] = [place(from), place((from + to) / 2), place(to)];
    // The control point that takes the curve through the middle.
    const control = (k: number) => 2 * b[k] - (a[k] + c[k]) / 2;
    return [a, [control(0), control(1), control(2)], c];
  };
  // Film, wire and single filaments do not open.
  const opens = lengthMm > OPENS_HALF_WIDTHS * halfWidth && (body.plies > 1 || body.unevenness !== undefined);
  if (!opens) return [{ points: through(0, lengthMm), halfWidth, halfHeight }];
  const seed = thread * 2 + (warp ? 1 : 0);
  const salt0 = 16 * (2 * crossing + (direction > 0 ? 1 : 0));
  const [least, most] = OPEN_HALF_WIDTHS;
  const opensMm = halfWidth * (least + (most - least) * hashUniform(seed, salt0 + 15));
  const kept = Math.max(KEEPS * lengthMm, lengthMm - opensMm);
  const tubes: EndTube[] = [{ points: through(0, kept), halfWidth, halfHeight }];
  const plies = Math.min(MOST_PLIES, Math.max(2, body.plies));
  const share = 1 / Math.sqrt(plies);
  const [from, , tip] = through(kept, lengthMm);
  for (let ply = 0; ply < plies; ply++) {
    const salt = salt0 + 2 * ply;
    const turn = 2 * Math.PI * ((ply + hashUniform(seed, salt)) / plies);
    const apart = SPREAD * (lengthMm - kept) * (0.5 + hashUniform(seed, salt + 1));
    const out = [Math.cos(turn) * apart, 0.7 * Math.sin(turn) * apart];
    const root = [Math.cos(turn) * halfWidth * 0.4, Math.sin(turn) * halfHeight * 0.4];
    const moved = ([x, y, z]: Point, [beside, up]: readonly number[]): Point =>
      warp ? [x + beside, y, z + up] : [x, y + beside, z + up];
    const middle: Point = [(from[0] + tip[0]) / 2, (from[1] + tip[1]) / 2, (from[2] + tip[2]) / 2];
    tubes.push({
      points: [moved(from, root), moved(middle, root), moved(tip, [root[0] + out[0], root[1] + out[1]])],
      halfWidth: halfWidth * share,
      halfHeight: halfHeight * share,
    });
  }
  return tubes;
}
