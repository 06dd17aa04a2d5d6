import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { writeOptics } from '#engine/scatter/opticsLayout.ts';
import { blockSetting, buildScatterTable } from '#engine/scatter/scatterTable.ts';
import { strandColour } from '#engine/scatter/strandColour.ts';
import {
  CORE_TEXEL,
  LOBED_BELOW,
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MAX_FACES,
  MAX_STOPS,
  MAX_STRANDS,
  MESH_TEXEL,
  STOPS_TEXEL,
  STRAND_TEXELS,
} from './clothBufferLayout.ts';
import { toHalf } from './halfFloat.ts';
import { PackingError, type YarnMaterial } from './packedCloth.ts';
import { createTable } from './packTables.ts';
import type { FaceMaterial, MeshMaterial, StrandColours, StrandMaterial } from './strandMaterial.ts';

export interface PackedMaterials {
  readonly materialTable: Float32Array;
  /** Half floats, RGBA (scatter/scatterLayout.ts). */
  readonly scatterTable: Uint16Array;
  readonly scatterBlocks: number;
}

const MAKES = ['woven', 'knitted', 'felted', 'braided', 'leaf', 'twill', 'creased'] as const;
/** A print's motifs lie as bundles of fibres do, and are told from them by their width. */
const COLOURS_OF = { plies: 1, fibres: 2, length: 3, print: 2 } as const;
const MESHES = ['hexagon', 'square'] as const;

/** What stands for a yarn in a leaf's row. */
const LEAF = {
  id: 'leaf',
  plies: 1,
  twistTurnsPerM: 0,
  twistDirection: 'S',
  twistAngleRad: 0,
  shape: 'strip',
} as const;

/** A thread's faces in the order of its table: strands, then a net's parts, backs and core. */
interface Faces {
  readonly list: readonly FaceMaterial[];
  /** By strand, which face is its back; 0: none. */
  readonly backs: readonly number[];
  readonly core: number;
  /** Of a net's bars; paint and glitter are the next two. */
  readonly bars: number;
  readonly hair: number;
}

function facesOf({ strands, mesh, core, hairFace }: YarnMaterial): Faces {
  const list: FaceMaterial[] = [...strands];
  const add = (face: FaceMaterial | undefined): number => (face ? list.push(face) - 1 : 0);
  const bars = add(mesh?.bars);
  if (mesh) for (const part of [mesh.paint, mesh.glitter]) add(part ?? list[bars]);
  // Both sides are of one cloth.
  const backs = strands.map(({ back, make, folds, thickMm }) =>
    add(back && ({ make, folds, thickMm, ...back } as StrandMaterial)),
  );
  return { list, backs, core: add(core), bars, hair: add(hairFace) };
}

/**
 * Colours, optics, twist and make per yarn, and the scattering table that they use. A row of the material table, texels:
 *   0  strands, plies, turns per mm (Z positive), tan of twist angle
 *   1  strip (1) or round (0), mean colour of the strands
 *   2–5  hair (packHair.ts)
 *   6  mesh: 0 none, 1 hexagons, 2 squares; pitch mm, bar mm, layers
 *   7  mesh: share of the section's width and height that what it is wound with takes (0: none), how often the layers sway, per mm;
 *      glitter to a mm², its diameter mm
 *   8  painted share, length of a patch mm; face of the bars, whose next two are paint's and glitter's; 1: it is a mesh
 *   9  face of a pile's core (0: none), face that hair is of, whether any face looks for the room's light otherwise than by the
 *      cosine, 0
 * from MATERIAL_HEADER_TEXELS STRAND_TEXELS for each face:
 *   0  the colour that the scattering functions take; face of the strand's back (0: none)
 *   1–3  the optics (scatter/opticsLayout.ts)
 *   4  make: 0 none, or 1 + its place in MAKES; across mm, along mm; layers round a folded strip
 *   5  several colours: 0 none, 1 plies, 2 fibres or a print, 3 along the yarn; first stop's texel in the row, stops, repeat mm, or
 *      width of a print's motifs
 *   6  how far a colour bleeds into the next, of the repeat; turns over per mm; of its own cloth the thickness mm and the threads' slope
 * from STOPS_TEXEL the stops: colour, and the share where it begins.
 * @param leaves metal leaf on the cloth, a row each after those of the yarns
 * @throws PackingError where a yarn has too many strands, or none
 */
export function* packMaterials(
  problem: ClothProblem,
  materials: readonly YarnMaterial[],
  leaves: readonly FaceMaterial[] = [],
): Generator<Progress, PackedMaterials> {
  const all: readonly YarnMaterial[] = [...materials, ...leaves.map((face) => ({ strands: [face] }))];
  const allFaces = all.map(facesOf);
  const building = buildScatterTable(
    allFaces.flatMap(({ list }) => list.map(({ optics, lying }) => blockSetting(lying ?? optics))),
  );
  let built = building.next();
  for (; !built.done; built = building.next()) yield { stage: 'packing', share: 0.1 * built.value };
  const scatter = built.value;
  const table = createTable(all.length * MATERIAL_TEXELS, 'yarns');
  let setting = 0;
  all.forEach((material, index) => {
    const { strands, mesh } = material;
    const yarn = problem.yarns[index] ?? LEAF;
    if (strands.length === 0 || strands.length > MAX_STRANDS) {
      throw new PackingError(`yarn ${yarn.id}: has ${strands.length} strands; give 1 to ${MAX_STRANDS}`);
    }
    if (allFaces[index].list.length > MAX_FACES) {
      throw new PackingError(`yarn ${yarn.id}: its strands have more faces than ${MAX_FACES}; wind fewer together`);
    }
    const at = index * MATERIAL_TEXELS * 4;
    const { list, backs, core, bars, hair } = allFaces[index];
    // A net has no plies that strands within it would share.
    const plies = mesh?.bars ? strands.length : yarn.plies;
    table.set(
      [
        ...[strands.length, plies, (yarn.twistTurnsPerM / 1000) * (yarn.twistDirection === 'Z' ? 1 : -1)],
        ...[Math.tan(yarn.twistAngleRad), yarn.shape === 'strip' ? 1 : 0],
      ],
      at,
    );
    if (mesh) table.set(meshNumbers(mesh, bars), at + MESH_TEXEL * 4);
    table.set([core, hair, list.some(asksByFace) ? 1 : 0], at + CORE_TEXEL * 4);
    let stops = 0;
    const colours = list.map((face, k) => {
      const block = scatter.blockOf[setting++];
      const colour = strandColour(face.coneColour, face.lying ?? face.optics, scatter, block);
      const to = at + (MATERIAL_HEADER_TEXELS + k * STRAND_TEXELS) * 4;
      table.set([...colour, backs[k] ?? 0], to);
      writeOptics(table, to + 4, face.optics, block);
      const strand: StrandMaterial = face;
      const room = MAX_STOPS - stops;
      const kept = strand.colours && stopsWithin(strand.colours, room);
      table.set(strandNumbers(strand, kept, STOPS_TEXEL + stops), to + 16);
      for (const stop of kept?.stops ?? []) {
        const shown = strandColour(stop.coneColour, face.optics, scatter, block);
        table.set([...shown, stop.from], at + (STOPS_TEXEL + stops++) * 4);
      }
      return colour;
    });
    table.set(meanOf(colours.slice(0, strands.length)), at + 5);
  });
  return {
    materialTable: table,
    scatterTable: Uint16Array.from(scatter.data, toHalf),
    scatterBlocks: scatter.blocks,
  };
}

/** As shaders/cloth/roomRay.glsl has it of each. */
function asksByFace({ optics }: FaceMaterial): boolean {
  return optics.surface !== 'fibre' || optics.isotropy < LOBED_BELOW;
}

/** The face that a yarn's hair is of, and its place in the table. */
export function faceOfHair(material: YarnMaterial): { readonly face: FaceMaterial; readonly at: number } {
  const { list, hair } = facesOf(material);
  return { face: list[hair], at: hair };
}

/** Whether any of a yarn's faces does. */
export function looksByLobes(material: YarnMaterial): boolean {
  return facesOf(material).list.some(asksByFace);
}

/** Whether any of a yarn's faces is film ruled with a grating. */
export function isRuled(material: YarnMaterial): boolean {
  return facesOf(material).list.some(({ optics }) => optics.gratingPitchUm > 0);
}

/** Whether any of a yarn's faces is film, wire or clear stuff. */
export function hasFacets(material: YarnMaterial): boolean {
  return facesOf(material).list.some(({ optics }) => optics.surface !== 'fibre');
}

/** Whether any of a yarn's faces shows what it is made of, or its folds. */
export function hasRelief(material: YarnMaterial): boolean {
  return facesOf(material).list.some((face: StrandMaterial) => face.make !== undefined || (face.folds ?? 0) > 0);
}

function meshNumbers(mesh: MeshMaterial, bars: number): number[] {
  return [
    ...[MESHES.indexOf(mesh.shape) + 1, mesh.pitchMm, mesh.barMm, mesh.layers],
    ...[mesh.coreShare ?? 0, mesh.turnsPerMm, mesh.glitter?.perMm2 ?? 0, mesh.glitter?.diameterMm ?? 0],
    ...[mesh.paint?.share ?? 0, mesh.paint?.patchMm ?? 0, bars, 1],
  ];
}

function strandNumbers(strand: StrandMaterial, colours: StrandColours | undefined, firstStop: number): number[] {
  const { make } = strand;
  return [
    ...[make ? MAKES.indexOf(make.kind) + 1 : 0, make?.acrossMm ?? 0, make?.alongMm ?? 0, strand.folds ?? 0],
    ...[
      colours ? COLOURS_OF[colours.of] : 0,
      firstStop,
      colours?.stops.length ?? 0,
      colours?.lengthMm ?? colours?.motifMm ?? 0,
    ],
    ...[bleedShare(colours), strand.turnsOverPerMm ?? 0, strand.thickMm ?? 0, slopeOfThreads(strand)],
  ];
}

/** Colours of plies and fibres, and those that do not bleed, still change over a little. */
const SHARPEST = 1e-5;

function bleedShare({ bleedMm = 0, lengthMm = 1 }: Partial<StrandColours> = {}): number {
  return Math.max(SHARPEST, bleedMm / lengthMm);
}

/**
 * A thread of a strip's own plain weave falls by half its thickness, which is half the cloth's, over half the way to the next:
 * thickness / (2 · spacing) on the mean.
 */
function slopeOfThreads({ make, thickMm }: StrandMaterial): number {
  return make && thickMm ? thickMm / (make.acrossMm + make.alongMm) : 0;
}

/** As many stops as there is room for: of more, every so manieth, so that each keeps its place. */
function stopsWithin(colours: StrandColours, room: number): StrandColours | undefined {
  const { stops } = colours;
  if (room < 1) return undefined;
  const every = Math.ceil(stops.length / room);
  return { ...colours, stops: stops.filter((_, k) => k % every === 0) };
}

function meanOf(colours: readonly LinearRgb[]): LinearRgb {
  const mean = (channel: 0 | 1 | 2) => colours.reduce((sum, colour) => sum + colour[channel], 0) / colours.length;
  return [mean(0), mean(1), mean(2)];
}
