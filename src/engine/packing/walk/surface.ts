import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { extraNormal } from './intersectExtra.ts';
import { createMeshPlace, layerLevel, layersUpward, meshAt, meshWidth } from './intersectMesh.ts';
import {
  createSectionValue,
  createTubePoint,
  createTubeSegment,
  footPoint,
  sectionAt,
  type TubePoint,
  tubePointAt,
} from './tubeSegment.ts';
import type { ClothWalker, WalkHit } from './walkCloth.ts';

const segment = createTubeSegment();
const point = createTubePoint();
const section = createSectionValue();
const place = createMeshPlace();
const upward = new Float64Array(2);

/** What lies nearer to the axis than this, squared, over the half width of what net is wound about, is that. */
const CORE_EDGE = 1.005;

/** Unit normal, out of the thread, where a walk met it: the point (x, y, z). */
export function surfaceNormal(
  out: Float64Array,
  walker: ClothWalker,
  hit: WalkHit,
  x: number,
  y: number,
  z: number,
): void {
  const { reader, cloth } = walker;
  const { kind, index, cell } = hit;
  if (hit.isHair) {
    const warp = kind === ThreadKind.warp;
    out[0] = warp ? hit.hair.normalSide : hit.hair.normalAlong;
    out[1] = warp ? hit.hair.normalAlong : hit.hair.normalSide;
    out[2] = hit.hair.normalUp;
  } else if (kind === ThreadKind.extra) {
    extraNormal(out, cloth.extraTable, index, x, y, z);
  } else {
    const warp = kind === ThreadKind.warp;
    const lo = warp ? reader.lineY(cell) : reader.endX(cell);
    const hi = warp ? reader.lineY(cell + 1) : reader.endX(cell + 1);
    const loaded = warp ? reader.loadWarp(segment, index, cell, lo, hi) : reader.loadWeft(segment, index, cell, lo, hi);
    if (!loaded) {
      out[0] = 0;
      out[1] = 0;
      out[2] = 1;
      return;
    }
    const side = (warp ? x : y) - segment.side;
    const u = ((warp ? y : x) - segment.along) / segment.pitch;
    const ahead = footPoint(point, segment, u, side, z);
    const { materialTable, meshed } = cloth;
    const mesh = meshed && materialTable[segment.mesh] > 0;
    if (mesh) sectionAt(section, point, ahead, side, z, 0, 0, 0);
    const open = mesh && section.f + 1 > CORE_EDGE * materialTable[segment.mesh + 4] ** 2;
    const { oSlope, zSlope } = point;
    const grade = 1 + oSlope * oSlope + zSlope * zSlope;
    const foot = (ahead + (side - point.o) * oSlope + (z - point.z) * zSlope) / grade;
    tubePointAt(point, segment, u + (foot - ahead) / segment.pitch);
    if (open) meshNormal(out, materialTable, warp ? y : x, u);
    else sectionNormal(out, point, ahead - foot, side - point.o, z - point.z);
    if (warp) {
      const along = out[0];
      out[0] = out[1];
      out[1] = along;
    }
  }
  const length = Math.hypot(out[0], out[1], out[2]);
  for (let k = 0; k < 3; k++) out[k] /= length;
}

/**
 * Normal of a swept ellipse at a place (along, sideways, up from the centre line's point p, square to it): the gradient of
 * the section in its own axes, leant back where the section grows along the thread.
 */
function sectionNormal(out: Float64Array, p: TubePoint, along: number, w: number, h: number): void {
  const level2 = 1 + p.oSlope * p.oSlope;
  const length2 = level2 + p.zSlope * p.zSlope;
  const levelScale = 1 / Math.sqrt(level2);
  const tangentScale = 1 / Math.sqrt(length2);
  const uprightScale = levelScale * tangentScale;
  const x = ((w - along * p.oSlope) * levelScale) / p.a;
  const y = ((h * level2 - along * p.zSlope - w * p.oSlope * p.zSlope) * uprightScale) / p.b;
  const fx = (x / p.a) * levelScale;
  const fy = (y / p.b) * uprightScale;
  const taper = ((x * x * p.aSlope) / p.a + (y * y * p.bSlope) / p.b) * tangentScale;
  out[0] = -fx * p.oSlope - fy * p.zSlope - taper;
  out[1] = fx - fy * p.oSlope * p.zSlope - taper * p.oSlope;
  out[2] = fy * level2 - taper * p.zSlope;
}

/** Normal of the bar or flake of an open strip at the place in `section`, with `point` at its foot. */
function meshNormal(out: Float64Array, table: Float32Array, along: number, u: number): void {
  layersUpward(upward, table, segment, along);
  const [ux, uy] = upward;
  const layers = table[segment.mesh + 3];
  const level = ux * section.x + uy * section.y;
  const layer = Math.min(layers - 1, Math.max(0, Math.floor((level + 1) * 0.5 * layers)));
  const wanted = layerLevel(layer, layers);
  const chord = Math.sqrt(1 - wanted * wanted);
  const widthMm = meshWidth(segment, upward, u);
  meshAt(place, table, segment, layer, chord, uy * section.x - ux * section.y, widthMm, along);
  // Axes of the section: along, level and square to that, and upright.
  const { oSlope, zSlope, a, b } = point;
  const level2 = 1 + oSlope * oSlope;
  const perTangent = 1 / Math.sqrt(level2 + zSlope * zSlope);
  const perLevel = 1 / Math.sqrt(level2);
  const tangent = [perTangent, oSlope * perTangent, zSlope * perTangent];
  const flat = [-oSlope * perLevel, perLevel, 0];
  const upright = [
    tangent[1] * flat[2] - tangent[2] * flat[1],
    tangent[2] * flat[0] - tangent[0] * flat[2],
    tangent[0] * flat[1] - tangent[1] * flat[0],
  ];
  const outward = Math.hypot(ux / a, uy / b);
  const across = Math.hypot(uy * a, ux * b);
  const round = Math.sqrt(1 - place.off * place.off);
  for (let k = 0; k < 3; k++) {
    out[k] =
      place.off * (place.along * tangent[k] + (place.across * (uy * a * flat[k] - ux * b * upright[k])) / across) +
      (round * ((ux / a) * flat[k] + (uy / b) * upright[k])) / outward;
  }
}
