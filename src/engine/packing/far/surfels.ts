import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { intersectTube, type LocalRay } from '#engine/packing/walk/intersectTube.ts';
import { createTubePoint, createTubeSegment, tubePointAt } from '#engine/packing/walk/tubeSegment.ts';

/** A patch of a thread's surface. */
export interface Patch {
  readonly point: Float64Array;
  /** Unit, out of the thread. */
  readonly normal: Float64Array;
  /** Unit, along the thread in its own sense. */
  readonly axis: Float64Array;
  /** mm² per unit of along × around. */
  area: number;
}

export function createPatch(): Patch {
  return { point: new Float64Array(3), normal: new Float64Array(3), axis: new Float64Array(3), area: 0 };
}

/** Section angles that a patch is taken from, either way from the top: what leans further faces no eye above 15°. */
export const MOST_AROUND = (105 * Math.PI) / 180;

const STEP = 1e-3;
const segment = createTubeSegment();
const local: LocalRay = { alongO: 0, alongD: 0, sideO: 0, sideD: 0, upO: 0, upD: 0 };
const centre = createTubePoint();
const before = new Float64Array(3);
const after = new Float64Array(3);
const here = new Float64Array(3);
const left = new Float64Array(3);
const right = new Float64Array(3);

/**
 * The patch of a crossing's warp or weft at `along` 0..1 (from halfway to the thread's crossing before, to halfway to the
 * one after) and `around` -1..1 times MOST_AROUND from the top (side 1) or bottom (side -1).
 * Returns false where the thread does not run there.
 */
export function patchAt(
  out: Patch,
  reader: ClothReader,
  warp: boolean,
  line: number,
  end: number,
  along: number,
  around: number,
  side: 1 | -1,
): boolean {
  const back = along < 0.5;
  const u = back ? 0.5 + along : along - 0.5;
  if (!load(reader, warp, line, end, back)) return false;
  const angle = around * MOST_AROUND;
  pointAt(here, u, angle, side);
  pointAt(before, u - STEP, angle, side);
  pointAt(after, u + STEP, angle, side);
  pointAt(left, u, angle - STEP, side);
  pointAt(right, u, angle + STEP, side);
  tubePointAt(centre, segment, u);
  const length = Math.sqrt(1 + centre.oSlope ** 2 + centre.zSlope ** 2);
  // Where tight bends fold the surface into itself, the cross product turns; the area that shows is then 0.
  const ux = after[0] - before[0];
  const uy = after[1] - before[1];
  const uz = after[2] - before[2];
  const vx = right[0] - left[0];
  const vy = right[1] - left[1];
  const vz = right[2] - left[2];
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const size = Math.hypot(nx, ny, nz);
  if (!(size > 0)) return false;
  const outwards =
    nx * (here[0] - segment.along - u * segment.pitch) +
    ny * (here[1] - segment.side - centre.o) +
    nz * (here[2] - centre.z);
  const sign = outwards < 0 ? -1 / size : 1 / size;
  // Along runs over one whole pitch, half of each segment; around over 2 MOST_AROUND.
  out.area = (size / (4 * STEP * STEP)) * 2 * MOST_AROUND;
  if (!snap(u, nx * sign, ny * sign, nz * sign)) return false;
  set(out.point, here[0], here[1], here[2], warp);
  set(out.normal, nx * sign, ny * sign, nz * sign, warp);
  set(out.axis, 1 / length, centre.oSlope / length, centre.zSlope / length, warp);
  return true;
}

function load(reader: ClothReader, warp: boolean, line: number, end: number, back: boolean): boolean {
  const { cloth } = reader;
  if (warp) {
    const from = back ? line - 1 : line;
    if (from < 0 || from + 1 >= cloth.lines) return false;
    return reader.loadWarp(segment, end, from, reader.lineY(from), reader.lineY(from + 1));
  }
  const row = reader.rowAt(line, end);
  const from = back ? end - 1 : end;
  if (from < 0 || from + 1 >= cloth.ends) return false;
  return reader.loadWeft(segment, row, from, reader.endX(from), reader.endX(from + 1));
}

/** In the thread's axes: along it, sideways, up. */
function pointAt(out: Float64Array, u: number, angle: number, side: 1 | -1): void {
  tubePointAt(centre, segment, u);
  const level2 = 1 + centre.oSlope ** 2;
  const length = Math.sqrt(level2 + centre.zSlope ** 2);
  const level = Math.sqrt(level2);
  const w = (centre.a * Math.sin(angle)) / level;
  const h = (side * centre.b * Math.cos(angle)) / (level * length);
  out[0] = segment.along + u * segment.pitch - w * centre.oSlope - h * centre.zSlope;
  out[1] = segment.side + centre.o + w - h * centre.oSlope * centre.zSlope;
  out[2] = centre.z + h * level2;
}

/**
 * Moves `here` along its normal onto the surface that rays meet, which differs by up to 1 % of the half height where the
 * thread bends. False where the bend has folded the surface under.
 */
function snap(u: number, nx: number, ny: number, nz: number): boolean {
  tubePointAt(centre, segment, u);
  const off = 0.2 * Math.min(centre.a, centre.b);
  local.alongO = here[0] + off * nx;
  local.sideO = here[1] - segment.side + off * ny;
  local.upO = here[2] + off * nz;
  local.alongD = -nx;
  local.sideD = -ny;
  local.upD = -nz;
  const t = intersectTube(segment, local, 0, 2 * off);
  if (!(t < 2 * off)) return false;
  here[0] += (off - t) * nx;
  here[1] += (off - t) * ny;
  here[2] += (off - t) * nz;
  return true;
}

function set(out: Float64Array, along: number, sideways: number, up: number, warp: boolean): void {
  out[0] = warp ? sideways : along;
  out[1] = warp ? along : sideways;
  out[2] = up;
}

/** Area of the cloth that belongs to a crossing: halfway to its neighbours, mm². */
export function crossingArea(reader: ClothReader, line: number, end: number): number {
  const { cloth } = reader;
  const x = reader.endX(Math.min(end + 1, cloth.ends - 1)) - reader.endX(Math.max(end - 1, 0));
  const y = reader.lineY(Math.min(line + 1, cloth.lines - 1)) - reader.lineY(Math.max(line - 1, 0));
  const whole = (k: number, count: number) => (k > 0 && k + 1 < count ? 0.5 : 1);
  return x * whole(end, cloth.ends) * y * whole(line, cloth.lines);
}

export function materialOf(reader: ClothReader, warp: boolean, line: number, end: number): number {
  const { cloth } = reader;
  return warp
    ? cloth.endTable[end * THREAD_TEXELS * 4 + 3]
    : cloth.rowTable[reader.rowAt(line, end) * THREAD_TEXELS * 4 + 3];
}
