/** A hair that a ray met: t (Infinity: none), its direction there in the segment's axes, and how high on it, 0..1. */
export interface HairHit {
  t: number;
  along: number;
  side: number;
  up: number;
  high: number;
  /** Unit normal of its surface there. */
  normalAlong: number;
  normalSide: number;
  normalUp: number;
}

export function createHairHit(): HairHit {
  return { t: Number.POSITIVE_INFINITY, along: 0, side: 0, up: 0, high: 0, normalAlong: 0, normalSide: 0, normalUp: 0 };
}

/** Hairs begin at this share of the body's radius, so that no gap shows at the root. */
const SUNK = 0.95;

/** The hair placed last: a quadratic Bézier curve, root, chord and half the sagitta's control, in (along, side, up). */
const root = new Float64Array(3);
const chord = new Float64Array(3);
const bow = new Float64Array(3);
const tangent = new Float64Array(3);
const gap = new Float64Array(3);
const square = new Float64Array(3);

/**
 * Places a hair of the table in a cell that begins at `start` along the yarn, and whose sector's first side stands at the
 * angle of cosine east, sine north, about a body of semi-axes a, b.
 * @param squash by which heights are pressed
 * @param edge whether it leaves the edge of a strip, in the middle of its sector
 */
export function placeHair(
  table: Float32Array,
  texel: number,
  start: number,
  east: number,
  north: number,
  a: number,
  b: number,
  squash: number,
  edge: boolean,
): void {
  const at = texel * 4;
  // A loop comes out of the body from as deep as it goes back to.
  pointAt(root, table, at, start, east, north, a, b, SUNK, 1, edge, Math.min(0, table[at + 9]));
  pointAt(bow, table, at + 4, start, east, north, a, b, 1, squash, edge);
  pointAt(chord, table, at + 8, start, east, north, a, b, 1, squash, edge);
  for (let k = 0; k < 3; k++) {
    bow[k] = 0.5 * (bow[k] - 0.5 * (root[k] + chord[k]));
    chord[k] -= root[k];
  }
}

function pointAt(
  out: Float64Array,
  table: Float32Array,
  at: number,
  start: number,
  east: number,
  north: number,
  a: number,
  b: number,
  share: number,
  squash: number,
  edge: boolean,
  above = table[at + 1],
): void {
  const x = table[at + 2] * east - table[at + 3] * north;
  const y = table[at + 3] * east + table[at + 2] * north;
  const height = squash * above;
  out[0] = start + table[at];
  if (edge) {
    out[1] = -share * a * north + height * x;
    out[2] = height * y;
  } else {
    const r = share / Math.sqrt((x * x) / (a * a) + (y * y) / (b * b)) + height;
    out[1] = r * x;
    out[2] = r * y;
  }
}
/**
 * Sets out where the ray from + t rate (dd: rate squared) meets the placed hair before `best`; leaves it otherwise.
 * Three Newton steps from `start` on the curve find where the two come nearest.
 */
export function meetHair(
  out: HairHit,
  from: Float64Array,
  rate: Float64Array,
  dd: number,
  radius: number,
  taper: number,
  best: number,
  start: number,
): void {
  let f = start;
  for (let k = 0; k < 3; k++) {
    const bent = 4 * (1 - 2 * f);
    const arch = 4 * f * (1 - f);
    let b = 0;
    let c = 0;
    let dw = 0;
    let tw = 0;
    for (let axis = 0; axis < 3; axis++) {
      tangent[axis] = chord[axis] + bent * bow[axis];
      const w = from[axis] - root[axis] - f * chord[axis] - arch * bow[axis];
      gap[axis] = w;
      b += rate[axis] * tangent[axis];
      c += tangent[axis] * tangent[axis];
      dw += rate[axis] * w;
      tw += tangent[axis] * w;
    }
    // The curve leaves a tangent by the bow at most, if that is its middle's: lines further apart pass each other by.
    if (k === 0) {
      const nx = rate[1] * tangent[2] - rate[2] * tangent[1];
      const ny = rate[2] * tangent[0] - rate[0] * tangent[2];
      const nz = rate[0] * tangent[1] - rate[1] * tangent[0];
      const apart = nx * gap[0] + ny * gap[1] + nz * gap[2];
      const within = radius + 4 * Math.max(f, 1 - f) ** 2 * Math.hypot(bow[0], bow[1], bow[2]);
      if (apart * apart > within * within * (nx * nx + ny * ny + nz * nz)) return;
    }
    f = Math.min(1, Math.max(0, f + (dd * tw - b * dw) / Math.max(dd * c - b * b, 1e-12)));
  }
  const arch = 4 * f * (1 - f);
  let dw = 0;
  for (let axis = 0; axis < 3; axis++) {
    tangent[axis] = chord[axis] + 4 * (1 - 2 * f) * bow[axis];
    gap[axis] = from[axis] - root[axis] - f * chord[axis] - arch * bow[axis];
    dw += rate[axis] * gap[axis];
  }
  const near = -dw / dd;
  let off2 = 0;
  for (let axis = 0; axis < 3; axis++) {
    gap[axis] += near * rate[axis];
    off2 += gap[axis] * gap[axis];
  }
  const thick = radius * (1 - taper * f);
  if (off2 >= thick * thick) return;
  const t = near - Math.sqrt((thick * thick - off2) / dd);
  if (!(t > 0 && t < best)) return;
  const length = Math.hypot(tangent[0], tangent[1], tangent[2]);
  out.t = t;
  out.along = tangent[0] / length;
  out.side = tangent[1] / length;
  out.up = tangent[2] / length;
  out.high = f;
  // Towards where the ray comes from, square to the hair, and beside that by how far it passes off the middle.
  const slide = (rate[0] * tangent[0] + rate[1] * tangent[1] + rate[2] * tangent[2]) / (length * length);
  let square2 = 0;
  for (let axis = 0; axis < 3; axis++) {
    square[axis] = rate[axis] - slide * tangent[axis];
    square2 += square[axis] * square[axis];
  }
  const facing = -Math.sqrt((1 - off2 / (thick * thick)) / Math.max(square2, 1e-12));
  out.normalAlong = gap[0] / thick + facing * square[0];
  out.normalSide = gap[1] / thick + facing * square[1];
  out.normalUp = gap[2] / thick + facing * square[2];
}
