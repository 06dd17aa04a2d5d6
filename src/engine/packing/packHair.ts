import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { hairLight } from '#engine/scatter/hairPhase.ts';
import type { HairForm, YarnHair } from '#engine/yarn/hair.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import {
  HAIR_TEXEL,
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MAX_REACH,
  MEDIUM_SCALES,
  SIDED,
  STRAND_TEXELS,
} from './clothBufferLayout.ts';
import { hairsPerLayer, latticeOf, layHairs } from './hairTable.ts';
import type { YarnMaterial } from './packedCloth.ts';
import type { ClothLines } from './packLines.ts';
import { faceOfHair } from './packMaterials.ts';
import { createTable } from './packTables.ts';

/** Of the way to the third thread on, what hair may take beside the body. */
const WITHIN_REACH = 0.95;
const LOOP_HEIGHT = 0.38;
/** As the table names them; loops that are wound round their core have their own. */
export const FORM_CODE: Readonly<Record<HairForm | 'wound', number>> = { hair: 0, loop: 1, edge: 2, wound: 3 };

/** By yarn, how much of a thread in this cloth is hair. */
export interface HairInCloth {
  /** How far hair stands off the body, mm. */
  readonly hairMm: Float64Array;
  /** The same where hair is thick enough to be looked at by light: a few stray ones are not. */
  readonly shadingMm: Float64Array;
  /** Of each yarn's section, what is body and no hair (`sectionOfCore` in threadSizes.ts). */
  readonly coreShare: Float64Array;
}

/** Half the mean of a body's width and height where its hair begins, mm. */
function rootRadiusMm(hair: YarnHair, { bodyWidthMm, bodyHeightMm }: YarnBody): number {
  if (hair.wireMm) return hair.wireMm / 2;
  return (hair.coreShare * (bodyWidthMm + bodyHeightMm)) / 4;
}

/** Of its width, what hair laid side by side covers, mm² a mm of yarn. */
function coverOf({ perMm, meanLengthMm, diameterMm, taper }: YarnHair): number {
  return perMm * meanLengthMm * diameterMm * (1 - taper / 2);
}

/**
 * How far hair stands off each yarn. No hair stands further off than the walk looks: what is longer than MAX_REACH threads keeps
 * its length and lies along the yarn.
 */
export function hairInCloth(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  materials: readonly YarnMaterial[],
): HairInCloth {
  const hairMm = new Float64Array(materials.length);
  const shadingMm = new Float64Array(materials.length);
  const coreShare = new Float64Array(materials.length).fill(1);
  if (!materials.some(({ hair }) => hair)) return { hairMm, shadingMm, coreShare };
  const room = roomOfYarns(problem, geometry, lines, materials.length);
  materials.forEach(({ hair }, index) => {
    const body = problem.yarns[index];
    if (!hair) return;
    const height = Math.min(hair.heightMm, WITHIN_REACH * (room[index] - body.bodyWidthMm / 2));
    if (!(height > 0) || latticeOf(hair, rootRadiusMm(hair, body)).layers === 0) return;
    hairMm[index] = height;
    coreShare[index] = hair.wireMm ? -hair.wireMm / body.contactWidthMm : hair.coreShare;
    shadingMm[index] = isStray(hair, coverOf(hair), body) ? 0 : shadesUpTo(hair, height);
  });
  return { hairMm, shadingMm, coreShare };
}

/** How far off hair counts for light, mm. */
function shadesUpTo(hair: YarnHair, height: number): number {
  const thins = thinsOut(hair);
  return thins > 0 ? Math.min(height, MEDIUM_SCALES * thins) : height;
}

/**
 * Writes each yarn's hair into its row of the material table, four texels from HAIR_TEXEL:
 *   height mm (0: no hair), lattices (and a half where hairs are stray ones), core (`sectionOfCore`), radius at the root mm
 *   texel of the first hair, hairs of a lattice, sectors, form (FORM_CODE)
 *   cell length mm, share of cells that hold a hair, taper, body over contact width where pile gives way (else 0)
 *   laid side by side: mm² a mm of yarn; as a medium for light: optical depth × mm of radius, over which height it thins
 *   out by e (0: even); turns a mm of its ridges, or SIDED − b where by b (−1..1) more of it stands on the face's half of the
 *   yarn than on the back's
 * As a medium, hair of n to the mm, mean length L and width d has the depth n L d π/4 (its mean projection) a mm of girth,
 * spread over its height; of the width, the share that light does not pass forwards. Returns the table with the hairs behind the
 * yarns' rows.
 */
export function packHair(
  bare: Float32Array,
  problem: ClothProblem,
  materials: readonly YarnMaterial[],
  { hairMm, coreShare }: HairInCloth,
  materialRows = materials.length,
): Float32Array {
  const rows: { index: number; texels: number[]; hairs: Float32Array }[] = [];
  let next = materialRows * MATERIAL_TEXELS;
  materials.forEach(({ hair }, index) => {
    const body = problem.yarns[index];
    const height = hairMm[index];
    if (!hair || height === 0) return;
    const radiusMm = rootRadiusMm(hair, body);
    const lattice = latticeOf(hair, radiusMm);
    const full = hair.pressed ? body.bodyWidthMm / body.contactWidthMm : 0;
    const cover = coverOf(hair);
    const stray = isStray(hair, cover, body);
    const thins = thinsOut(hair);
    const within = thins > 0 ? 1 - Math.exp(-shadesUpTo(hair, height) / thins) : 1;
    const depth = (cover * holdsUp(materials[index], bare, index)) / within / 8;
    const hairs = layHairs(hair, lattice, radiusMm, height);
    rows.push({
      index,
      hairs,
      texels: [
        ...[height, lattice.layers + (stray ? 0.5 : 0), coreShare[index], hair.diameterMm / 2],
        ...[next, hairsPerLayer(lattice), lattice.sectors, FORM_CODE[hair.windsPerMm ? 'wound' : hair.form]],
        ...[lattice.cellMm, lattice.presence, hair.taper, full],
        ...[cover, depth, thins, hair.onFace ? SIDED - hair.onFace : (hair.ridgesPerMm ?? 0)],
      ],
    });
    next += hairs.length / 4;
  });
  if (rows.length === 0) return bare;
  const table = createTable(next, 'yarns and their hair');
  table.set(bare.subarray(0, Math.min(bare.length, table.length)));
  for (const { index, texels, hairs } of rows) {
    table.set(texels, (index * MATERIAL_TEXELS + HAIR_TEXEL) * 4);
    table.set(hairs, texels[4] * 4);
  }
  return table;
}

/** Over which height hair thins out by e, mm; 0 where it stands alike. Loops are a good third as high as they are long. */
function thinsOut({ form, evenness, meanLengthMm, leanMeanRad }: YarnHair): number {
  if (form === 'loop') return LOOP_HEIGHT * meanLengthMm;
  return evenness > 0.5 ? 0 : meanLengthMm * Math.cos(leanMeanRad);
}

/** Laid side by side, stray hairs cover less than this of their yarn's own width. */
const STRAY_COVER = 0.6;

function isStray({ form }: YarnHair, cover: number, { bodyWidthMm }: { bodyWidthMm: number }): boolean {
  return form === 'hair' && cover < STRAY_COVER * bodyWidthMm;
}

/**
 * Scatterers of albedo w and mean cosine g shade like ones of the cross-section 1 − w g that scatter all round (the
 * similarity relation, van de Hulst 1980). Of a fibre's forward lobe the mean cosine is 2/3. Strands of many fibres let
 * nothing through.
 */
function holdsUp(material: YarnMaterial, table: Float32Array, index: number): number {
  const { face, at } = faceOfHair(material);
  const { optics } = face;
  if (optics.surface !== 'fibre' || material.hair?.form !== 'hair') return 1;
  const colour = (index * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + at * STRAND_TEXELS) * 4;
  const w = [0, 1, 2].reduce((sum, k) => sum + hairLight(optics, table[colour + k]).within / 3, 0);
  return 1 - w * (1 - optics.isotropy) * (2 / 3);
}

/** Of each yarn, the least way to the nearer of the threads MAX_REACH further on. */
function roomOfYarns(problem: ClothProblem, geometry: ClothGeometry, lines: ClothLines, yarns: number): Float64Array {
  const room = new Float64Array(yarns).fill(Infinity);
  for (let end = 0; end < problem.ends; end++) {
    const yarn = problem.endYarn[end];
    room[yarn] = Math.min(room[yarn], roomAt(geometry.endXMm, end));
  }
  for (let row = 0; row < problem.rows; row++) {
    const yarn = problem.rowYarn[row];
    room[yarn] = Math.min(room[yarn], roomAt(lines.yMm, lines.lineOfRow[row]));
  }
  return room;
}

/** To the nearer of the threads MAX_REACH further on; beyond the outermost there is room enough. */
function roomAt(positions: ArrayLike<number>, k: number): number {
  const before = k >= MAX_REACH ? positions[k] - positions[k - MAX_REACH] : Infinity;
  const after = k + MAX_REACH < positions.length ? positions[k + MAX_REACH] - positions[k] : Infinity;
  return Math.min(before, after);
}
