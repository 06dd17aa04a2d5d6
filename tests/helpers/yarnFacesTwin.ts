import type { LinearRgb } from '#engine/colour/colour.ts';
import {
  CORE_TEXEL,
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MESH_TEXEL,
  STRAND_TEXELS,
  THREAD_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { fadeOut, fract, mix, modulo, smoothstep, TURN, units, wrappedNoise } from './yarnNoiseTwin.ts';
import type { YarnPlace } from './yarnProbe.ts';

/** Twin of `shaders/yarn/faces.glsl`: from the packed tables, as src/engine/packing/packMaterials.ts lays them out. */

/** At or below this swell what was met is a hair, in steps of a hundredth. */
const MOST_HAIR_SWELL = 0.155;
/** Below, what a net is wound about. */
const [BARS_FROM, PAINT_FROM, GLITTER_FROM] = [0.9, 1.25, 1.75];
const [LEAST_MOTIFS, MOTIF_LONG] = [2, 2];
const [BUNDLE_MM, LEAST_BUNDLES, MOST_BUNDLES, BUNDLE_WIDTHS] = [0.15, 14, 120, 11];

/** Four numbers of a texel of a material's row. */
export function texelOf({ materialTable }: PackedCloth, material: number, texel: number): Float32Array {
  const at = (material * MATERIAL_TEXELS + texel) * 4;
  return materialTable.subarray(at, at + 4);
}

export const faceTexel = (face: number): number => MATERIAL_HEADER_TEXELS + face * STRAND_TEXELS;

/** Turns by which the section's winding stands at a place. */
export function windingAt({ around, alongMm, thread }: YarnPlace, turnsPerMm: number): number {
  return around / TURN - alongMm * turnsPerMm + units(thread, 77, 3)[0];
}

function showsBack({ around, alongMm, thread }: YarnPlace, turnsPerMm: number): boolean {
  if (turnsPerMm <= 0) return around < 0;
  const turned = alongMm * turnsPerMm;
  const unevenly = turned + 0.6 * wrappedNoise(0, 3 * turned, 1, thread + 4001);
  return fract(around / TURN - unevenly + units(thread, 79, 5)[0]) > 0.5;
}

/** Which of the thread's faces shows. */
export function faceAt(cloth: PackedCloth, place: YarnPlace): number {
  const { material, swell } = place;
  const held = texelOf(cloth, material, CORE_TEXEL);
  if (swell < MOST_HAIR_SWELL) return held[1];
  if (held[0] > 0) return held[0];
  if (texelOf(cloth, material, MESH_TEXEL)[0] > 0.5 && swell > BARS_FROM) {
    const bars = texelOf(cloth, material, MESH_TEXEL + 2)[2];
    return bars + (swell > GLITTER_FROM ? 2 : swell > PAINT_FROM ? 1 : 0);
  }
  const [strands, , turnsPerMm] = texelOf(cloth, material, 0);
  const strand = Math.floor(fract(windingAt(place, turnsPerMm)) * strands);
  const back = texelOf(cloth, material, faceTexel(strand))[3];
  return back > 0 && showsBack(place, texelOf(cloth, material, faceTexel(strand) + 6)[1]) ? back : strand;
}

interface Stop {
  readonly colour: LinearRgb;
  readonly from: number;
}

const rgb = (texel: ArrayLike<number>): LinearRgb => [texel[0], texel[1], texel[2]];
const mixed = (a: LinearRgb, b: LinearRgb, t: number): LinearRgb =>
  [0, 1, 2].map((c) => mix(a[c], b[c], t)) as unknown as LinearRgb;

/** The colour of a face there, as the scattering functions take it. */
export function colourAt(cloth: PackedCloth, place: YarnPlace, face: number): LinearRgb {
  const { material } = place;
  const mean = rgb(texelOf(cloth, material, faceTexel(face)));
  const [of, first, count, repeatMm] = texelOf(cloth, material, faceTexel(face) + 5);
  if (of === 0) return mean;
  const stops = Array.from({ length: count }, (_, k): Stop => {
    const texel = texelOf(cloth, material, first + k);
    return { colour: rgb(texel), from: texel[3] };
  });
  if (of === 3)
    return alongRepeat(stops, texelOf(cloth, material, faceTexel(face) + 6)[0], placeInRepeat(cloth, place, repeatMm));
  const girthMm = TURN * place.radiusMm;
  const [, plies, turnsPerMm] = texelOf(cloth, material, 0);
  const winding = windingAt(place, turnsPerMm);
  if (of === 1) {
    const lobes = Math.max(1, plies);
    const share = Math.floor(fract(winding) * lobes) / lobes;
    return mixed(mean, stopAt(stops, share + 1e-5), fadeOut(girthMm / lobes, place.pixelMm));
  }
  const [wideMm, least, widths] =
    repeatMm > 0 ? [repeatMm, LEAST_MOTIFS, MOTIF_LONG] : [BUNDLE_MM, LEAST_BUNDLES, BUNDLE_WIDTHS];
  const bundles = Math.min(MOST_BUNDLES, Math.max(least, Math.trunc(girthMm / wideMm)));
  const share = bundleShare(place, winding + place.alongMm * turnsPerMm * 0.7, bundles, (widths * girthMm) / bundles);
  return mixed(mean, stopAt(stops, share + 1e-5), fadeOut(girthMm / bundles, place.pixelMm));
}

function stopAt(stops: readonly Stop[], share: number): LinearRgb {
  return stops.reduce((found, { colour, from }) => (from < share ? colour : found), stops[0].colour);
}

/** Which of the fibres, 0..1, show where bundles of them lie side by side, pointed at both ends. */
function bundleShare({ alongMm, thread }: YarnPlace, turned: number, bundles: number, lengthMm: number): number {
  const x = turned * bundles;
  const lane = modulo(Math.floor(x), bundles);
  const piece = alongMm / lengthMm + units(lane, thread, 131)[0];
  const across = 2 * fract(x) - 1;
  const within = 2 * fract(piece) - 1;
  if (Math.abs(across) <= 1 - within * within) return units(lane, Math.floor(piece), thread * 4 + 1)[0];
  const neighbour = modulo(lane + (across > 0 ? 1 : -1), bundles);
  return units(neighbour, Math.floor(piece + 0.5), thread * 4 + 3)[0];
}

function placeInRepeat(cloth: PackedCloth, { thread, alongMm }: YarnPlace, repeatMm: number): number {
  const table = (thread & 1) === 1 ? cloth.endTable : cloth.rowTable;
  const at = ((thread >> 1) * THREAD_TEXELS + 2) * 4;
  return fract((table[at] + table[at + 1] * alongMm) / repeatMm);
}

/** Each colour passes over into the next about the place where that begins, the last into the first. */
function alongRepeat(stops: readonly Stop[], fade: number, share: number): LinearRgb {
  const last = stops[stops.length - 1].colour;
  const passed = [...stops, { ...stops[0], from: 1 }];
  return passed.reduce((found, { colour, from }) => mixed(found, colour, smoothstep(-fade, fade, share - from)), last);
}
