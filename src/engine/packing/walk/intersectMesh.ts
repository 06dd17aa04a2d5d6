import { MAX_MESH_LAYERS } from '#engine/packing/clothBufferLayout.ts';
import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import type { LocalRay } from './tubeLook.ts';
import {
  createSectionValue,
  createTubePoint,
  footPoint,
  type SectionValue,
  sectionAt,
  type TubeSegment,
} from './tubeSegment.ts';

/** Of the holes in a painted patch, those that the paint has filled (estimate). */
const FILLED_HOLES = 0.1;
/** From there on paint has drawn back to the bars: radius of the gap, pitches, over the share of holes that are less open (estimate). */
const GAP_GROWS = 1.3;
/** How far a sagging skin of paint leans, per pitch from its hole's middle: sine (estimate). */
const SKIN_LEAN = 0.8;
/** How far a patch's end wanders from hole to hole, and patches from layer to layer, in lengths of a patch (estimates). */
const RAGGED_HOLES = 0.6;
const RAGGED_LAYERS = 2.5;
/** How far flakes lean from the layer they are stuck on: sine, at most (estimate). */
const FLAKE_LEAN = 0.5;
/** A bar's edge is met as though it leant no further than this sine: a ray that leaves it must clear it. */
const MOST_ROUND = 0.9;
/** Folds run along the strip: layers lie askew to one another, either way, by up to half this, tangent (estimate). */
const LAYER_SLANT = 0.15;
/** How far they have slipped along one another, pitches, at most (estimate). */
const LAYER_SHIFT = 0.5;
/** How far they sway, rad in a round section (estimate). */
const LAYER_LEAN = 0.35;
/** How far beyond the segment a layer's crossing may be guessed to lie and still be looked at, mm. */
const GUESS_MM = 0.2;
/** A crossing no further off than this, mm, needs no second look: it is missed by less than a thousandth. One that is, after two, is none. */
const MOST_STEP_MM = 0.02;
/** Layers are looked for in a section so much larger, squared: thread and section bend between the first look and a layer. */
const MESH_WIDER = 1.5;
/** Shifts hashes off negative numbers. */
const BIAS = 65536;

/** What of an open strip was met; the numbers are what the picture buffer keeps. */
export const MeshPart = { open: 0, bar: 1, paint: 1.5, glitter: 2 } as const;

/** A place in a layer: what is there, the way across the nearest bar (along the thread, across the layer), how far off it. */
export interface MeshPlace {
  part: number;
  along: number;
  across: number;
  /** From the bar's middle, 0..1 of its half width; of flakes the sine of their lean. */
  off: number;
}

export function createMeshPlace(): MeshPlace {
  return { part: 0, along: 1, across: 0, off: 0 };
}

const words = new Uint32Array(3);
const point = createTubePoint();
const section = createSectionValue();
const place = createMeshPlace();
const upward = new Float64Array(2);
const hole = new Float64Array(2);

/** Where a crumpled strip's layers face in the thread's section: they lie as the section lies, and sway along the thread. */
export function layersUpward(out: Float64Array, table: Float32Array, s: TubeSegment, along: number): void {
  const turns = table[s.mesh + 5];
  hash3(words, s.thread, 83, 7);
  const angle = turns > 0 ? LAYER_LEAN * Math.sin(2 * Math.PI * (unitFromHash(words[0]) + turns * along)) : 0;
  out[0] = -Math.sin(angle);
  out[1] = Math.cos(angle);
}

/** Middle of a layer, -1..1 across the section along the layers' upward direction. */
export function layerLevel(layer: number, layers: number): number {
  return (2 * layer + 1) / layers - 1;
}

/** Place from the middle of the nearest hole, to `hole`: hexagons as wide as the pitch between flats, or squares. */
function fromHole(hexagon: boolean, x: number, y: number, pitch: number): void {
  const centred = (at: number, box: number) => at - box * Math.floor(at / box + 0.5);
  if (!hexagon) {
    hole[0] = centred(x, pitch);
    hole[1] = centred(y, pitch);
    return;
  }
  const tall = Math.sqrt(3) * pitch;
  const ax = centred(x, pitch);
  const ay = centred(y, tall);
  const bx = centred(x - 0.5 * pitch, pitch);
  const by = centred(y - 0.5 * tall, tall);
  const first = ax * ax + ay * ay < bx * bx + by * by;
  hole[0] = first ? ax : bx;
  hole[1] = first ? ay : by;
}

/**
 * What is at a place of a layer. Bars stand half way between holes; flakes lie one to a square of their own density,
 * anywhere in it; paint covers patches of the strip, fills some of their holes and draws back to the bars of others.
 * @param across place in the layer, −chord..chord
 * @param chord half its length, in half widths of the section
 * @param widthMm of the section, along its layers
 * @param along mm
 */
export function meshAt(
  out: MeshPlace,
  table: Float32Array,
  s: TubeSegment,
  layer: number,
  chord: number,
  across: number,
  widthMm: number,
  along: number,
): MeshPlace {
  const at = s.mesh;
  const hexagon = table[at] < 1.5;
  const pitch = table[at + 1];
  out.part = MeshPart.open;
  out.along = 1;
  out.across = 0;
  out.off = 0;
  hash3(words, s.thread, layer >> 1, 89);
  const slipped = unitFromHash(words[0]);
  const step = GOLDEN_STEP * s.thread;
  const lain = along + pitch * (step - Math.floor(step) + LAYER_SHIFT * slipped);
  // Two and two layers lie folded about the edge that they share.
  const flip = 0.5 - (layer & 1);
  const aside = flip * (across - chord) * widthMm + 53 * unitFromHash(words[1]);
  const slant = LAYER_SLANT * (unitFromHash(words[2]) - 0.5);
  const cos = 1 / Math.sqrt(1 + slant * slant);
  const sin = slant * cos;
  const x = cos * lain - sin * aside;
  const y = sin * lain + cos * aside;
  fromHole(hexagon, x, y, pitch);
  const perMm2 = table[at + 6];
  if (perMm2 > 0) {
    const flake = table[at + 7];
    const side = 1 / Math.sqrt(perMm2);
    const cellX = Math.floor(x / side);
    const cellY = Math.floor(y / side);
    hash3(words, cellX + BIAS, cellY + BIAS, s.thread * 16 + (layer >> 1));
    const free = Math.max(0, 1 - flake / side);
    const dx = x - (cellX + 0.5 + (unitFromHash(words[0]) - 0.5) * free) * side;
    const dy = y - (cellY + 0.5 + (unitFromHash(words[1]) - 0.5) * free) * side;
    if (dx * dx + dy * dy < 0.25 * flake * flake) {
      const u = unitFromHash(words[2]);
      out.part = MeshPart.glitter;
      out.along = Math.cos(2 * Math.PI * u);
      out.across = Math.sin(2 * Math.PI * u);
      out.off = FLAKE_LEAN * (2 * ((7 * u) % 1) - 1);
      return out;
    }
  }
  // Patches end with whole holes, layer by layer elsewhere.
  let painted = false;
  let gap = Number.POSITIVE_INFINITY;
  const patchMm = table[at + 9];
  if (table[at + 8] > 0) {
    const middleX = Math.floor(((x - hole[0]) / pitch) * 4 + 0.5);
    const middleY = Math.floor(((y - hole[1]) / pitch) * 4 + 0.5);
    hash3(words, middleX + BIAS, middleY + BIAS, 103);
    gap = GAP_GROWS * pitch * (unitFromHash(words[0]) - FILLED_HOLES);
    const ragged = RAGGED_HOLES * (unitFromHash(words[1]) - 0.5) + RAGGED_LAYERS * (slipped - 0.5);
    painted = paintedAt(table, at, s.thread, along + ragged * patchMm);
  }
  // The nearest of a hole's sides, of which each quarter has two.
  const quarterX = Math.abs(hole[0]);
  const quarterY = Math.abs(hole[1]);
  let wayX = hexagon ? 0.5 : 0;
  let wayY = hexagon ? 0.8660254 : 1;
  let most = quarterX * wayX + quarterY * wayY;
  if (quarterX > most) {
    most = quarterX;
    wayX = 1;
    wayY = 0;
  }
  wayX *= -Math.sign(hole[0]);
  wayY *= -Math.sign(hole[1]);
  out.along = cos * wayX + sin * wayY;
  out.across = 2 * flip * (cos * wayY - sin * wayX);
  const off = (2 * (0.5 * pitch - most)) / table[at + 2];
  if (off < 1) {
    out.part = painted ? MeshPart.paint : MeshPart.bar;
    out.off = Math.min(MOST_ROUND, off);
  } else if (painted && Math.hypot(hole[0], hole[1]) >= gap) {
    // A skin that sags between its bars, or has drawn back to them.
    out.part = MeshPart.paint;
    out.off = (SKIN_LEAN * most) / pitch;
  }
  return out;
}

/** Patches begin elsewhere in each thread. */
const GOLDEN_STEP = 0.618034;

/** Whether a thread's strip is painted at a place; `mesh` is where its mesh begins in the material table. */
export function paintedAt(table: Float32Array, mesh: number, thread: number, alongMm: number): boolean {
  const share = table[mesh + 8];
  if (!(share > 0)) return false;
  hash3(words, Math.floor(alongMm / table[mesh + 9] + GOLDEN_STEP * thread) + BIAS, thread, 101);
  return unitFromHash(words[0]) < share;
}

/** Width of the section along its layers, mm. Where the thread is pressed, net folds once more: its holes keep their size. */
export function meshWidth(s: TubeSegment, up: Float64Array, u: number): number {
  const share = Math.min(1, Math.max(0, u));
  const a = s.a0 + share * s.aChange;
  const b = s.b0 + share * s.bChange;
  return 2 * Math.hypot(up[1] * a, up[0] * b);
}

function look(out: SectionValue, s: TubeSegment, ray: LocalRay, uO: number, uD: number, t: number): void {
  const side = ray.sideO + t * ray.sideD;
  const up = ray.upO + t * ray.upD;
  const ahead = footPoint(point, s, uO + t * uD, side, up);
  sectionAt(out, point, ahead, side, up, ray.alongD, ray.sideD, ray.upD);
}

/**
 * First t in (lo, hi) at which a ray meets a bar, a flake or paint of an open strip; else Infinity.
 *
 * A strip of W mm crumpled into a narrower thread is W/w layers of it that lie over one another: chords of the section,
 * evenly spaced, together as long as the strip is wide. Each is a flat sheet of mesh; the ray, taken as straight in the
 * section from one layer to the next, crosses them one after the other, looked at once at each crossing, or twice where the first
 * look shows that it lies further off. Bars are met as flat ribbons of their own width, and shaded as round ones.
 * @param near where the ray passes nearest to the middle of a straight section
 */
export function intersectMesh(
  table: Float32Array,
  s: TubeSegment,
  ray: LocalRay,
  uO: number,
  uD: number,
  lo: number,
  hi: number,
  near: number,
): number {
  const layers = table[s.mesh + 3];
  let t = near;
  look(section, s, ray, uO, uD, t);
  layersUpward(upward, table, s, ray.alongO + t * ray.alongD);
  let rate = upward[0] * section.dx + upward[1] * section.dy;
  if (Math.abs(rate) < 1e-6) return Number.POSITIVE_INFINITY;
  let level = upward[0] * section.x + upward[1] * section.y;
  // The layers that the ray crosses within the section as it is seen from there, taken a little wider.
  const qa = Math.max(section.qa, 1e-12);
  const nearest = -section.qb / qa;
  const off2 = section.x ** 2 + section.y ** 2 - qa * nearest ** 2;
  const span = Math.abs(rate) * Math.sqrt(Math.max(0, MESH_WIDER - off2) / qa);
  const ahead = (rate > 0 ? 1 : -1) * (level + nearest * rate);
  const first = Math.max(0, Math.ceil(0.5 * ((ahead - span + 1) * layers - 1)));
  const last = Math.min(layers - 1, Math.floor(0.5 * ((ahead + span + 1) * layers - 1)));
  const forward = rate > 0;
  let number = first;
  let again = false;
  for (let k = 0; k < 2 * MAX_MESH_LAYERS && number <= last; k++) {
    const layer = forward ? number : layers - 1 - number;
    const wanted = layerLevel(layer, layers);
    if (!again) t += (wanted - level) / rate;
    if (t < lo - GUESS_MM || t > hi + GUESS_MM) {
      // Where the last place was left for this layer's, the next is told from there.
      level = wanted;
      number++;
      again = false;
      continue;
    }
    look(section, s, ray, uO, uD, t);
    layersUpward(upward, table, s, ray.alongO + t * ray.alongD);
    rate = upward[0] * section.dx + upward[1] * section.dy;
    level = upward[0] * section.x + upward[1] * section.y;
    if (Math.abs(rate) < 1e-6) break;
    const step = (wanted - level) / rate;
    // Told from the layer before, a place is near enough for one look; the first is told from the middle.
    if (!again && Math.abs(step) > MOST_STEP_MM) {
      t += Math.min(GUESS_MM, Math.max(-GUESS_MM, step));
      again = true;
      continue;
    }
    again = false;
    number++;
    const at = t + step;
    if (at <= lo || at > hi || Math.abs(step) > MOST_STEP_MM) continue;
    const x = section.x + step * section.dx;
    const y = section.y + step * section.dy;
    if (x * x + y * y > 1) continue;
    const chord = Math.sqrt(1 - wanted * wanted);
    const along = ray.alongO + at * ray.alongD;
    const widthMm = meshWidth(s, upward, (along - s.along) / s.pitch);
    const across = upward[1] * x - upward[0] * y;
    if (meshAt(place, table, s, layer, chord, across, widthMm, along).part > 0) return at;
  }
  return Number.POSITIVE_INFINITY;
}
