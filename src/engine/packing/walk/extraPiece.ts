import {
  EXTRA_PIECES,
  EXTRA_TEXELS,
  HAIR_TEXEL,
  MATERIAL_TEXELS,
  THREAD_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import { extraPoint, extraTangent } from '#engine/packing/extraCurve.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { createHairHit, type HairHit } from './hairCurve.ts';
import { intersectHair } from './intersectHair.ts';
import type { LocalRay } from './tubeLook.ts';
import { createTubeSegment, type TubeSegment } from './tubeSegment.ts';

/** A piece is taken as so long, mm: where it ends is for its planes to say. */
const ENDLESS_MM = 1000;

const segment = createTubeSegment();
const local: LocalRay = { alongO: 0, alongD: 0, sideO: 0, sideD: 0, upO: 0, upD: 0 };
const met = createHairHit();
const curve = new Float64Array(9);
const from = new Float64Array(3);
const to = new Float64Array(3);
const leaves = new Float64Array(3);
const arrives = new Float64Array(3);
/** Along the thread in its own sense, level across it, and square to both, in the cloth's axes. */
const axes = [new Float64Array(3), new Float64Array(3), new Float64Array(3)];

/** Part of the ray, t, between the planes that end the piece loaded last. */
const pieceSpan = { lo: 0, hi: 0 };

/** First hair of a turn or tail that the ray o + t d meets at t in (tMin, tMax), in the cloth's axes. Returns whether there is one. */
export function hairOfExtra(
  out: HairHit,
  cloth: PackedCloth,
  extra: number,
  o: readonly [number, number, number],
  d: readonly [number, number, number],
  tMin: number,
  tMax: number,
): boolean {
  out.t = Number.POSITIVE_INFINITY;
  if (!passesBox(cloth.extraTable, extra, o, d, tMin, tMax)) return false;
  let before = 0;
  for (let piece = 0; piece < EXTRA_PIECES; piece++) {
    before += loadPiece(segment, local, cloth, extra, piece, before, o, d);
    const lo = Math.max(tMin, pieceSpan.lo);
    const hi = Math.min(tMax, out.t, pieceSpan.hi);
    if (!intersectHair(met, cloth.materialTable, segment.thread, segment, local, lo, hi)) continue;
    turnOutOfPiece(met);
    Object.assign(out, met);
  }
  return out.t < tMax;
}

/**
 * One of EXTRA_PIECES straight pieces of a turn or tail as a straight stretch of its thread, and a ray in its axes, so that
 * hair is met there as beside any stretch. The pieces end where planes square to the curve cut them, so that a bend has
 * no gaps; the thread's lattices run on from the cloth. Sets `pieceSpan`.
 * @param before mm from the extra's first point to the piece's
 * @returns length of the piece, mm
 */
function loadPiece(
  s: TubeSegment,
  local: LocalRay,
  { extraTable, endTable, rowTable }: PackedCloth,
  extra: number,
  piece: number,
  before: number,
  o: readonly [number, number, number],
  d: readonly [number, number, number],
): number {
  const at = extra * EXTRA_TEXELS * 4;
  for (let k = 0; k < 9; k++) curve[k] = extraTable[at + Math.floor(k / 3) * 4 + (k % 3)];
  extraPoint(from, curve, piece / EXTRA_PIECES);
  extraTangent(leaves, curve, piece / EXTRA_PIECES);
  extraPoint(to, curve, (piece + 1) / EXTRA_PIECES);
  extraTangent(arrives, curve, (piece + 1) / EXTRA_PIECES);
  const owner = extraTable[at + 11];
  const warp = (owner & 1) === 1;
  const sense = extraTable[at + 13];
  const [along, side, up] = axes;
  for (let k = 0; k < 3; k++) along[k] = to[k] - from[k];
  const length = Math.hypot(along[0], along[1], along[2]);
  for (let k = 0; k < 3; k++) along[k] *= sense / Math.max(length, 1e-9);
  const level = Math.max(Math.hypot(along[0], along[1]), 1e-9);
  side[0] = -along[1] / level;
  side[1] = along[0] / level;
  side[2] = 0;
  up[0] = along[1] * side[2] - along[2] * side[1];
  up[1] = along[2] * side[0] - along[0] * side[2];
  up[2] = along[0] * side[1] - along[1] * side[0];
  // Ends count their sideways axis to the right, as rows count theirs upwards.
  if (warp) for (let k = 0; k < 3; k++) side[k] = -side[k];

  const start = extraTable[at + 12] + sense * before;
  local.alongO = start;
  local.sideO = 0;
  local.upO = 0;
  local.alongD = 0;
  local.sideD = 0;
  local.upD = 0;
  let [inside, out] = [0, 0];
  let [inRate, outRate] = [0, 0];
  for (let k = 0; k < 3; k++) {
    const away = o[k] - from[k];
    local.alongO += away * along[k];
    local.sideO += away * side[k];
    local.upO += away * up[k];
    local.alongD += d[k] * along[k];
    local.sideD += d[k] * side[k];
    local.upD += d[k] * up[k];
    inside -= away * leaves[k];
    inRate += d[k] * leaves[k];
    out += (to[k] - o[k]) * arrives[k];
    outRate += d[k] * arrives[k];
  }
  pieceSpan.lo = Number.NEGATIVE_INFINITY;
  pieceSpan.hi = Number.POSITIVE_INFINITY;
  bound(inside, inRate, inRate >= 0);
  bound(out, outRate, outRate < 0);

  const thread = (owner >> 1) * THREAD_TEXELS * 4;
  const threads = warp ? endTable : rowTable;
  s.along = start - ENDLESS_MM / 2;
  s.pitch = ENDLESS_MM;
  s.side = 0;
  s.o0 = s.o1 = s.o2 = s.o3 = 0;
  s.z0 = s.z1 = s.z2 = s.z3 = 0;
  s.wrapStart = s.wrapChange = 0;
  s.a0 = extraTable[at + 3];
  s.b0 = extraTable[at + 3] * extraTable[at + 7];
  s.aChange = s.bChange = 0;
  s.contactA = threads[thread + 1];
  s.contactB = threads[thread + 2];
  const bends = [0, 1, 2].map((k) => (leaves[k] / norm(leaves) - arrives[k] / norm(arrives)) / Math.max(length, 1e-9));
  s.longerSide = bends[0] * side[0] + bends[1] * side[1] + bends[2] * side[2];
  s.longerUp = bends[0] * up[0] + bends[1] * up[1] + bends[2] * up[2];
  s.hair = (threads[thread + 3] * MATERIAL_TEXELS + HAIR_TEXEL) * 4;
  s.thread = owner;
  return length;
}

const norm = (v: Float64Array) => Math.max(1e-9, Math.hypot(v[0], v[1], v[2]));

/** Whether the ray comes within reach of the extra's hair at all: its curve lies in the box of its control points. */
function passesBox(
  table: Float32Array,
  extra: number,
  o: readonly [number, number, number],
  d: readonly [number, number, number],
  tMin: number,
  tMax: number,
): boolean {
  const at = extra * EXTRA_TEXELS * 4;
  const reach = 1.01 * (table[at + 3] + table[at + 14]) + 0.1;
  let [lo, hi] = [tMin, tMax];
  for (let k = 0; k < 3; k++) {
    const least = Math.min(table[at + k], table[at + 4 + k], table[at + 8 + k]) - reach;
    const most = Math.max(table[at + k], table[at + 4 + k], table[at + 8 + k]) + reach;
    const rate = Math.abs(d[k]) < 1e-12 ? 1e-12 : d[k];
    const [a, b] = [(least - o[k]) / rate, (most - o[k]) / rate];
    lo = Math.max(lo, Math.min(a, b));
    hi = Math.min(hi, Math.max(a, b));
  }
  return lo < hi;
}

/** Where the ray passes a plane `ahead` off, in units of its rate, is where its part begins, or ends. */
function bound(ahead: number, rate: number, begins: boolean): void {
  const t = ahead / (Math.abs(rate) < 1e-12 ? 1e-12 : rate);
  if (begins) pieceSpan.lo = Math.max(pieceSpan.lo, t);
  else pieceSpan.hi = Math.min(pieceSpan.hi, t);
}

/** Turns a hair met beside the piece loaded last into the cloth's own axes. */
function turnOutOfPiece(hit: HairHit): void {
  const [along, side, up] = axes;
  const inCloth = (a: number, b: number, c: number, k: number) => a * along[k] + b * side[k] + c * up[k];
  const { along: a, side: b, up: c, normalAlong, normalSide, normalUp } = hit;
  [hit.along, hit.side, hit.up] = [0, 1, 2].map((k) => inCloth(a, b, c, k));
  const normal = [0, 1, 2].map((k) => inCloth(normalAlong, normalSide, normalUp, k));
  [hit.normalAlong, hit.normalSide, hit.normalUp] = normal;
}
