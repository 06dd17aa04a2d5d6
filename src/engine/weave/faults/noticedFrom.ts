import { colourDifference, type LinearRgb } from '#engine/colour/colour.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import type { Millimetres } from '#engine/units/units.ts';

/** A cloth laid flat: which thread shows where, how wide threads are and what colour. */
export interface FlatCloth {
  readonly drawdown: Drawdown;
  readonly endColour: (end: number) => LinearRgb;
  readonly rowColour: (row: number) => LinearRgb;
  readonly endXMm: ArrayLike<number>;
  readonly rowYMm: ArrayLike<number>;
  readonly endWidthMm: (end: number) => Millimetres;
  readonly rowWidthMm: (row: number) => Millimetres;
}

export interface Noticed {
  /** Farthest distance at which the fault is noticed on either side, mm; 0 where it is not even from near. */
  readonly faceMm: Millimetres;
  readonly backMm: Millimetres;
}

/**
 * Colour difference (CIEDE2000) from which a fault is noticed. 2 between patches side by side is seen at a glance (common
 * practice); a speck that nobody waits for takes some two and a half times the contrast (H. R. Blackwell 1946, J. Opt. Soc.
 * Am. 36, 624, and the field factors since; from memory).
 */
export const NOTICED = 5;
const NEAREST_MM = 200;
const FARTHEST_MM = 30_000;
/** Ratio of the distances tried, before the last step is halved four times. */
const STEP = 1.5;
/** Threads looked at on either side of the fault, and samples to a thread. */
const AROUND = 16;
const PER_THREAD = 3;
/** Rows beside a missing or doubled one in which the eye compares. */
const BESIDE = 5;

/**
 * From how far off a fault is noticed: both cloths are drawn flat around it, spread as the eye spreads them at a
 * distance, and compared place by place. By colour alone: what shows by relief only, as in a cloth of one colour, is
 * noticed nearer by, and a busy pattern hides more than is reckoned here.
 * @param place of the fault, from 0, in the faulty cloth.
 * @param spreadMm standard deviation of the eye's spread at a distance, mm.
 */
export function noticedFrom(
  right: FlatCloth,
  faulty: FlatCloth,
  place: { readonly row: number; readonly end: number },
  spreadMm: (distanceMm: Millimetres) => Millimetres,
): Noticed {
  const onSide = (face: boolean) => {
    const differences = comparisons(right, faulty, place, face);
    // A pick more or less moves all that follows: it is noticed where neither going on from below nor from above agrees.
    const noticed = (distanceMm: number) => differences.every((of) => of(spreadMm(distanceMm)) > NOTICED);
    let distance = FARTHEST_MM;
    while (distance > NEAREST_MM && !noticed(distance)) distance /= STEP;
    if (distance <= NEAREST_MM) return noticed(NEAREST_MM) ? NEAREST_MM : 0;
    let [near, far] = [distance, distance * STEP];
    for (let k = 0; k < 4; k++) {
      const middle = (near + far) / 2;
      if (noticed(middle)) near = middle;
      else far = middle;
    }
    return near;
  };
  return { faceMm: onSide(true), backMm: onSide(false) };
}

type Difference = (spreadMm: Millimetres) => number;

function comparisons(
  right: FlatCloth,
  faulty: FlatCloth,
  { row, end }: { row: number; end: number },
  face: boolean,
): Difference[] {
  const shift = right.drawdown.rows - faulty.drawdown.rows;
  const stepX = pitch(right.endXMm) / PER_THREAD;
  const stepY = pitch(right.rowYMm) / PER_THREAD;
  const midX = faulty.endXMm[Math.min(end, faulty.endXMm.length - 1)];
  const midY = faulty.rowYMm[Math.min(row, faulty.rowYMm.length - 1)];
  const pictures = (yShiftMm: number): [Planes, Planes] => {
    const of = (cloth: FlatCloth, moved: number) =>
      drawn((j, i) => seenAt(cloth, midX + i * stepX, midY + j * stepY + moved, face));
    return [of(right, yShiftMm), of(faulty, 0)];
  };
  const between =
    ([first, second]: [Planes, Planes], from: number, to: number): Difference =>
    (spreadMm) => {
      const a = spread(first, spreadMm / stepX, spreadMm / stepY);
      const b = spread(second, spreadMm / stepX, spreadMm / stepY);
      let most = 0;
      for (let j = from; j <= to; j += PER_THREAD) {
        for (let i = 0; i < SIDE; i += PER_THREAD) {
          most = Math.max(most, colourDifference(lightAt(a, j * SIDE + i), lightAt(b, j * SIDE + i)));
        }
      }
      return most;
    };
  const middle = AROUND * PER_THREAD;
  if (shift === 0) return [between(pictures(0), 0, 2 * middle)];
  const beside = BESIDE * PER_THREAD;
  return [
    between(pictures(0), middle - PER_THREAD, middle + beside),
    between(pictures(shift * PER_THREAD * stepY), middle - beside, middle + PER_THREAD),
  ];
}

/** Samples along either side of the picture drawn around a fault, and its three planes of linear light. */
const SIDE = 2 * AROUND * PER_THREAD + 1;
type Planes = readonly [Float64Array, Float64Array, Float64Array];

function planes(): Planes {
  return [new Float64Array(SIDE * SIDE), new Float64Array(SIDE * SIDE), new Float64Array(SIDE * SIDE)];
}

function drawn(of: (j: number, i: number) => LinearRgb): Planes {
  const half = AROUND * PER_THREAD;
  const picture = planes();
  for (let j = 0; j < SIDE; j++) {
    for (let i = 0; i < SIDE; i++) {
      const light = of(j - half, i - half);
      for (let c = 0; c < 3; c++) picture[c][j * SIDE + i] = light[c];
    }
  }
  return picture;
}

function lightAt([r, g, b]: Planes, at: number): LinearRgb {
  return [r[at], g[at], b[at]];
}

/** What the cloth lies on: a middling grey. */
const GROUND: LinearRgb = [0.2, 0.2, 0.2];

function beyond(at: ArrayLike<number>, mm: number): boolean {
  const half = pitch(at) / 2;
  return mm < at[0] - half || mm > at[at.length - 1] + half;
}

/** The colour of the thread that shows at a place: the upper one where it covers it, else the other. */
function seenAt(cloth: FlatCloth, x: number, y: number, face: boolean): LinearRgb {
  if (beyond(cloth.endXMm, x) || beyond(cloth.rowYMm, y)) return GROUND;
  const end = nearest(cloth.endXMm, x);
  const row = nearest(cloth.rowYMm, y);
  const warp = isWarpUp(cloth.drawdown, row, end) === face;
  const covers = warp
    ? Math.abs(x - cloth.endXMm[end]) <= cloth.endWidthMm(end) / 2
    : Math.abs(y - cloth.rowYMm[row]) <= cloth.rowWidthMm(row) / 2;
  return warp === covers ? cloth.endColour(end) : cloth.rowColour(row);
}

function nearest(at: ArrayLike<number>, mm: number): number {
  let low = 0;
  let high = at.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at[middle] < mm) low = middle + 1;
    else high = middle;
  }
  return low > 0 && mm - at[low - 1] < at[low] - mm ? low - 1 : low;
}

function pitch(at: ArrayLike<number>): Millimetres {
  return at.length < 2 ? 1 : Math.abs(at[at.length - 1] - at[0]) / (at.length - 1);
}

/** A Gaussian spread along both axes, standard deviations in samples; the edge's colour goes on beyond it. */
function spread(picture: Planes, sigmaX: number, sigmaY: number): Planes {
  const across = planes();
  const result = planes();
  for (let c = 0; c < 3; c++) {
    spreadAlong(picture[c], across[c], sigmaX, 1, SIDE);
    spreadAlong(across[c], result[c], sigmaY, SIDE, 1);
  }
  return result;
}

function spreadAlong(from: Float64Array, to: Float64Array, sigma: number, step: number, line: number): void {
  const reach = Math.min(SIDE, Math.ceil(3 * sigma));
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, k) =>
    reach === 0 ? 1 : Math.exp(-(((k - reach) / sigma) ** 2) / 2),
  );
  const sum = weights.reduce((total, weight) => total + weight, 0);
  for (let start = 0; start < SIDE; start++) {
    for (let at = 0; at < SIDE; at++) {
      let total = 0;
      for (let k = -reach; k <= reach; k++) {
        total += weights[k + reach] * from[start * line + Math.min(Math.max(at + k, 0), SIDE - 1) * step];
      }
      to[start * line + at * step] = total / sum;
    }
  }
}
