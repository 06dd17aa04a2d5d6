import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { hairLight } from '#engine/scatter/hairPhase.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { HAIR_TEXEL, MATERIAL_TEXELS, MAX_HAIR_LAYERS, MAX_REACH } from './clothBufferLayout.ts';
import type { YarnMaterial } from './packedCloth.ts';
import type { ClothLines } from './packLines.ts';

/** Quarters of a turn: a hair keeps to one, so that its cell is convex. */
const QUARTERS = 4;
/** A lattice's cells along the yarn, over a hair's mean run: most hairs fit without being cut. */
const CELL_RUNS = 1.6;
/** Shortest cell, mm. */
const LEAST_CELL_MM = 0.25;
/** Of the way to the third thread on, what hair may take beside the body. */
const WITHIN_REACH = 0.95;

/**
 * Writes each yarn's hair into its row of the material table, four texels from HAIR_TEXEL:
 *   height mm (0: no hair), lattices (and a half where hairs are stray ones), core share, radius at the root mm
 *   mean length mm, longest mm, mean lean rad, evenness
 *   cell length mm, share of cells that hold a hair, taper, body over contact width where pile gives way (else 0)
 *   0; as a medium for light: optical depth × mm of radius, over which height it thins out by e (0: even); as the last above
 * As a medium, hair of n to the mm, mean length L and width d has the depth n L d π/4 (its mean projection) a mm of girth,
 * spread over its height; of the width, the share that light does not pass forwards.
 * No hair stands further off than the walk looks: what is longer than MAX_REACH threads keeps its length and lies along
 * the yarn.
 * @returns how far hair stands off each yarn's body, mm
 */
export function packHair(
  table: Float32Array,
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  materials: readonly YarnMaterial[],
): Float64Array {
  const heights = new Float64Array(materials.length);
  if (!materials.some(({ hair }) => hair)) return heights;
  const room = new Float64Array(materials.length).fill(Infinity);
  roomBeside(room, geometry.endXMm, (end) => problem.endYarn[end]);
  for (let row = 0; row < problem.rows; row++) {
    const line = lines.lineOfRow[row];
    const yarn = problem.rowYarn[row];
    room[yarn] = Math.min(room[yarn], roomAt(lines.yMm, line));
  }
  materials.forEach(({ hair }, index) => {
    const body = problem.yarns[index];
    if (!hair || hair.form !== 'hair') return;
    const height = Math.min(hair.heightMm, WITHIN_REACH * (room[index] - body.bodyWidthMm / 2));
    const lattice = latticeOf(hair);
    if (!(height > 0) || lattice.layers === 0) return;
    heights[index] = height;
    const full = hair.pressed ? body.bodyWidthMm / body.contactWidthMm : 0;
    const width =
      hair.diameterMm * (1 - hair.taper / 2) * holdsUp(materials[index], table, index * MATERIAL_TEXELS * 4 + 5);
    const depth = (hair.perMm * hair.meanLengthMm * width) / 8;
    table.set(
      [
        ...[height, lattice.layers + (isStray(hair, body) ? 0.5 : 0), hair.coreShare, hair.diameterMm / 2],
        ...[hair.meanLengthMm, hair.longestMm, hair.leanMeanRad, hair.evenness],
        ...[lattice.cellMm, lattice.presence, hair.taper, full],
        ...[0, depth, hair.evenness > 0.5 ? 0 : hair.meanLengthMm * Math.cos(hair.leanMeanRad), full],
      ],
      (index * MATERIAL_TEXELS + HAIR_TEXEL) * 4,
    );
  });
  return heights;
}

/** Laid side by side, stray hairs cover less than this of their yarn's own width. */
const STRAY_COVER = 0.6;

function isStray({ perMm, meanLengthMm, diameterMm }: YarnHair, { bodyWidthMm }: { bodyWidthMm: number }): boolean {
  return perMm * meanLengthMm * diameterMm < STRAY_COVER * bodyWidthMm;
}

/**
 * Scatterers of albedo w and mean cosine g shade like ones of the cross-section 1 − w g that scatter all round (the
 * similarity relation, van de Hulst 1980). Of a fibre's forward lobe the mean cosine is 2/3.
 */
function holdsUp({ strands }: YarnMaterial, table: Float32Array, colour: number): number {
  const { optics } = strands[0];
  if (optics.surface !== 'fibre') return 1;
  const w = [0, 1, 2].reduce((sum, k) => sum + hairLight(optics, table[colour + k]).within / 3, 0);
  return 1 - w * (1 - optics.isotropy) * (2 / 3);
}

/** Cells and lattices that hold a yarn's hairs; where they are more than the lattices can hold, cells are shorter. */
export function latticeOf(hair: YarnHair): { cellMm: number; layers: number; presence: number } {
  const run = hair.meanLengthMm * Math.sin(hair.leanMeanRad);
  const most = (MAX_HAIR_LAYERS * QUARTERS) / hair.perMm;
  const cellMm = Math.min(most, Math.max(LEAST_CELL_MM, CELL_RUNS * run));
  const wanted = (hair.perMm * cellMm) / QUARTERS;
  const layers = Math.min(MAX_HAIR_LAYERS, Math.ceil(wanted - 1e-9));
  return { cellMm, layers, presence: layers > 0 ? wanted / layers : 0 };
}

function roomBeside(room: Float64Array, positions: ArrayLike<number>, yarnOf: (index: number) => number): void {
  for (let k = 0; k < positions.length; k++) {
    const yarn = yarnOf(k);
    room[yarn] = Math.min(room[yarn], roomAt(positions, k));
  }
}

/** To the nearer of the threads MAX_REACH further on; beyond the outermost there is room enough. */
function roomAt(positions: ArrayLike<number>, k: number): number {
  const before = k >= MAX_REACH ? positions[k] - positions[k - MAX_REACH] : Infinity;
  const after = k + MAX_REACH < positions.length ? positions[k + MAX_REACH] - positions[k] : Infinity;
  return Math.min(before, after);
}
