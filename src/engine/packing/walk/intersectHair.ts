import { MAX_HAIR_LOOKS, RIDGE_DEPTH, SIDED, SIDED_BELOW } from '#engine/packing/clothBufferLayout.ts';
import { FORM_CODE } from '#engine/packing/packHair.ts';
import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import { type HairHit, meetHair, placeHair } from './hairCurve.ts';
import type { LocalRay } from './tubeLook.ts';
import { createTubePoint, type TubeSegment, tubePointAt } from './tubeSegment.ts';

/** Words beside the cells' own that the hash of a lattice's place takes. */
const LATTICE_WORD = 0x6a09e667;
const TURN = 2 * Math.PI;
/** Where on its curve the search for a hair's meeting with a ray begins; a loop has two legs. */
const HAIR_STARTS = [0.5];
const LOOP_STARTS = [0.15, 0.85];
/** A wound strand goes aslant through its cells and is as wide as they are: those beside this one reach into it. */
const OWN_CELL = [0];
const CELLS_BESIDE = [-1, 0, 1];

const words = new Uint32Array(3);
const from = new Float64Array(3);
const rate = new Float64Array(3);
const centre = createTubePoint();

/**
 * First hair of a thread that a ray meets within the segment's own range at t in (tMin, tMax).
 *
 * Hair lives in the space of the thread laid straight: place along the thread's line, and place beside its centre line.
 * There the ray is taken as straight between where it comes within the hair's reach and where it leaves, and each of the
 * yarn's lattices (one hair a cell: a length of yarn by a sector, turned and shifted by a hash) is crossed cell by cell,
 * from where the ray comes within its own tallest hair. Root, bend and tip of a hair lie in its own cell, which is convex,
 * so no neighbour is looked at but of wound strands, which are as wide as their cells.
 * @param thread row * 2, or end * 2 + 1
 * @param table the material table (packHair.ts, hairTable.ts)
 */
export function intersectHair(
  out: HairHit,
  table: Float32Array,
  thread: number,
  s: TubeSegment,
  ray: LocalRay,
  tMin: number,
  tMax: number,
): boolean {
  out.t = Number.POSITIVE_INFINITY;
  const shell = table[s.hair];
  const radius = table[s.hair + 3];
  const uO = (ray.alongO - s.along) / s.pitch;
  const uD = ray.alongD / s.pitch;
  let lo = tMin;
  let hi = tMax;
  if (Math.abs(uD) < 1e-7) {
    if (uO < 0 || uO > 1) return false;
  } else {
    const t0 = -uO / uD;
    const t1 = (1 - uO) / uD;
    lo = Math.max(lo, Math.min(t0, t1));
    hi = Math.min(hi, Math.max(t0, t1));
  }
  if (lo >= hi) return false;

  // As in intersectTube: a straight tube from node to node, wide enough for the curve, and for hair.
  const dO = s.o1 + s.o2 + s.o3;
  const dZ = s.z1 + s.z2 + s.z3;
  const oEnd = s.o1 + 2 * s.o2 + 3 * s.o3;
  const zEnd = s.z1 + 2 * s.z2 + 3 * s.z3;
  const wrapMost = Math.max(Math.abs(s.wrapStart), Math.abs(s.wrapStart + s.wrapChange));
  const reach = shell + radius;
  const a = s.a0 + Math.max(0, s.aChange) + reach + (4 / 27) * (Math.abs(s.o1 - dO) + Math.abs(oEnd - dO));
  const b =
    s.b0 + Math.max(0, s.bChange) + reach + (4 / 27) * (Math.abs(s.z1 - dZ) + Math.abs(zEnd - dZ)) + wrapMost / 16;
  const x0 = (ray.sideO - s.o0 - dO * uO) / a;
  const y0 = (ray.upO - s.z0 - dZ * uO) / b;
  const x1 = (ray.sideD - dO * uD) / a;
  const y1 = (ray.upD - dZ * uD) / b;
  const ca = x1 * x1 + y1 * y1;
  const cb = x0 * x1 + y0 * y1;
  const cc = x0 * x0 + y0 * y0 - 1;
  const disc = cb * cb - ca * cc;
  if (disc < 0) return false;
  if (ca > 1e-10) {
    const half = Math.sqrt(disc);
    lo = Math.max(lo, (-cb - half) / ca);
    hi = Math.min(hi, (-cb + half) / ca);
  } else if (cc > 0) {
    return false;
  }
  if (!(hi - lo > 1e-6)) return false;

  // Beside the centre line the ray is straight from end to end; times count from lo.
  const uLo = uO + lo * uD;
  const uHi = uO + hi * uD;
  const span = hi - lo;
  from[0] = ray.alongO + lo * ray.alongD;
  from[1] = ray.sideO + lo * ray.sideD - offsetAt(s, uLo);
  from[2] = ray.upO + lo * ray.upD - heightAt(s, uLo);
  rate[0] = ray.alongD;
  rate[1] = (ray.sideO + hi * ray.sideD - offsetAt(s, uHi) - from[1]) / span;
  rate[2] = (ray.upO + hi * ray.upD - heightAt(s, uHi) - from[2]) / span;
  const middle = Math.min(1, Math.max(0, 0.5 * (uLo + uHi)));
  const step = middle * middle * (3 - 2 * middle);
  const sizeA = s.a0 + step * s.aChange;
  const sizeB = s.b0 + step * s.bChange;
  const full = table[s.hair + 11];
  const core = table[s.hair + 2];
  const squash = full > 0 ? Math.min(1, (sizeA + sizeB) / (core * full * (s.contactA + s.contactB))) : 1;

  const layers = Math.floor(table[s.hair + 1]);
  const hairs = table[s.hair + 4];
  const perLayer = table[s.hair + 5];
  const sectors = table[s.hair + 6];
  const form = table[s.hair + 7];
  const cellMm = table[s.hair + 8];
  const presence = table[s.hair + 9];
  const taper = table[s.hair + 10];
  const sides = table[s.hair + 15];
  const isEdge = form === FORM_CODE.edge;
  const wound = form === FORM_CODE.wound;
  const starts = form === FORM_CODE.loop || wound ? LOOP_STARTS : HAIR_STARTS;
  const beside = wound ? CELLS_BESIDE : OWN_CELL;
  const sector = TURN / sectors;
  const cosSector = Math.cos(sector);
  const sinSector = Math.sin(sector);
  const dd = rate[0] ** 2 + rate[1] ** 2 + rate[2] ** 2;
  const cross2 = Math.max(rate[1] ** 2 + rate[2] ** 2, 1e-12);
  const nearest = -(from[1] * rate[1] + from[2] * rate[2]) / cross2;
  const sizeMost = Math.max(sizeA, sizeB) + radius;
  // How near the ray's line comes to the centre line; which way round it goes.
  const swings = from[1] * rate[2] - from[2] * rate[1];
  const passes2 = (swings * swings) / cross2;
  const forwards = swings > 0;

  let best = span;
  let looks = 0;
  for (let layer = 0; layer < layers; layer++) {
    // Lattices hold hairs of their own heights, the tallest first: where the ray passes one further off, it passes the rest.
    const first = hairs + layer * perLayer * 3;
    const within = sizeMost + table[first * 4 + 1] * squash;
    const chord2 = (within * within - passes2) / cross2;
    if (chord2 <= 0) break;
    const chord = Math.sqrt(chord2);
    let t = Math.max(0, nearest - chord);
    const until = Math.min(best, nearest + chord);
    if (t >= until) break;
    hash3(words, thread, layer, LATTICE_WORD);
    const shift = unitFromHash(words[0]) * cellMm;
    const turn = isEdge ? -0.25 * TURN : unitFromHash(words[1]) * TURN;
    const here = Math.atan2(from[2] + t * rate[2], from[1] + t * rate[1]) - turn;
    let sectorHere = Math.floor(here / sector);
    const edgeAngle = turn + sector * sectorHere;
    let east = Math.cos(edgeAngle);
    let north = Math.sin(edgeAngle);
    let cell = Math.floor((from[0] + t * rate[0] - shift) / cellMm);
    while (looks < MAX_HAIR_LOOKS) {
      looks++;
      const side = shift + (rate[0] > 0 ? cell + 1 : cell) * cellMm;
      const ts = Math.abs(rate[0]) > 1e-7 ? (side - from[0]) / rate[0] : Number.POSITIVE_INFINITY;
      // Where the ray leaves the sector: through its second side if it goes forwards, else through its first.
      const sideX = forwards ? east * cosSector - north * sinSector : east;
      const sideY = forwards ? east * sinSector + north * cosSector : north;
      const closing = sideX * rate[2] - sideY * rate[1];
      let ta = Number.POSITIVE_INFINITY;
      if (Math.abs(closing) > 1e-12) {
        const at = (sideY * from[1] - sideX * from[2]) / closing;
        if (at >= t && sideX * (from[1] + at * rate[1]) + sideY * (from[2] + at * rate[2]) > 0) ta = at;
      }
      const next = Math.min(until, best, ts, ta);
      const sectorWord = ((sectorHere % sectors) + sectors) % sectors;
      hash3(words, thread, layer * 64 + sectorWord, cell);
      let chance = presence;
      if (sides !== 0) {
        const facing = Math.atan2(north, east) + 0.5 * sector;
        // Brushed on one side more stands there; pile leaves both sides of the twisted core.
        chance *=
          sides < SIDED_BELOW
            ? 1 + (SIDED - sides) * Math.sign(Math.sin(facing))
            : 1 + RIDGE_DEPTH * Math.cos(2 * (facing - TURN * sides * (shift + (cell + 0.5) * cellMm)));
      }
      // Outside a bend as many hairs of an edge stand over more length, inside over less. All round a thread what is too much
      // outside stands for what crosses the bend's middle from inside, which no piece reaches.
      const middleOf = (t + next) / 2;
      const [besideMm, upMm] = [from[1] + middleOf * rate[1], from[2] + middleOf * rate[2]];
      const longer = isEdge ? 1 + s.longerSide * besideMm + s.longerUp * upMm : 1;
      if (longer * unitFromHash(words[2]) < chance) {
        const hair = first + 3 * Math.floor(unitFromHash(words[0]) * perLayer);
        const close = Math.min(next, Math.max(t, nearest));
        const away2 = (from[1] + close * rate[1]) ** 2 + (from[2] + close * rate[2]) ** 2;
        if (away2 < (sizeMost + table[hair * 4 + 1] * squash) ** 2) {
          const thick = radius * Math.hypot(table[hair * 4 + 2], table[hair * 4 + 3]);
          for (const other of beside) {
            placeHair(table, hair, shift + (cell + other) * cellMm, east, north, sizeA, sizeB, squash, isEdge);
            for (const start of starts) {
              meetHair(out, from, rate, dd, thick, taper, best, start);
              if (out.t < best && out.t > 0) best = out.t;
            }
          }
        }
      }
      if (next >= Math.min(until, best)) break;
      t = next;
      if (next === ts) cell += rate[0] > 0 ? 1 : -1;
      if (next === ta) {
        sectorHere += forwards ? 1 : -1;
        const sine = forwards ? sinSector : -sinSector;
        const turned = east * cosSector - north * sine;
        north = east * sine + north * cosSector;
        east = turned;
      }
    }
  }
  if (best >= span) {
    out.t = Number.POSITIVE_INFINITY;
    return false;
  }
  if (form === FORM_CODE.loop) out.high = 4 * out.high * (1 - out.high);
  leanWithThread(out, s, uLo + best * uD);
  out.t = lo + best;
  return true;
}

/** Met beside the thread laid straight; in the cloth what runs along it rises as it does. */
function leanWithThread(out: HairHit, s: TubeSegment, u: number): void {
  tubePointAt(centre, s, u);
  const { oSlope: aside, zSlope: upwards } = centre;
  out.side += aside * out.along;
  out.up += upwards * out.along;
  out.normalAlong -= aside * out.normalSide + upwards * out.normalUp;
  const length = Math.hypot(out.along, out.side, out.up);
  out.along /= length;
  out.side /= length;
  out.up /= length;
  const square = Math.hypot(out.normalAlong, out.normalSide, out.normalUp);
  out.normalAlong /= square;
  out.normalSide /= square;
  out.normalUp /= square;
}

function offsetAt(s: TubeSegment, u: number): number {
  return s.o0 + u * (s.o1 + u * (s.o2 + u * s.o3));
}

function heightAt(s: TubeSegment, u: number): number {
  const q = u * (1 - u);
  return s.z0 + u * (s.z1 + u * (s.z2 + u * s.z3)) + q * q * (s.wrapStart + u * s.wrapChange);
}
