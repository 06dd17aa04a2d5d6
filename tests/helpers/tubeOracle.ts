import * as THREE from 'three';
import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { EXTRA_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import type { ClothFixture } from './clothFixtures.ts';

/**
 * Threads as triangles, drawn by three's own rasteriser: shares no line with the walk. Each thread is an ellipse swept
 * square to its centre line, one axis level; the centre line is evaluated here from the definition in `CurveField`.
 */

const ALONG = 24;
const AROUND = 64;

export interface MeshParts {
  readonly position: number[];
  readonly owner: number[];
  readonly index: number[];
}

type Vec = [number, number, number];

function hermite(v0: number, s0: number, v1: number, s1: number, p: number, u: number): number {
  const h00 = 2 * u ** 3 - 3 * u ** 2 + 1;
  const h10 = u ** 3 - 2 * u ** 2 + u;
  const h01 = -2 * u ** 3 + 3 * u ** 2;
  const h11 = u ** 3 - u ** 2;
  return h00 * v0 + h10 * p * s0 + h01 * v1 + h11 * p * s1;
}

/** Sideways and upward place of a thread between nodes k0 and k1. */
function centreAt(f: CurveField, k0: number, k1: number, p: number, u: number): [number, number] {
  const side = hermite(f.offsetMm[k0], f.offsetSlope[k0], f.offsetMm[k1], f.offsetSlope[k1], p, u);
  const wrap = u ** 2 * (1 - u) ** 2 * ((1 - u) * f.wrapStartMm[k0] + u * f.wrapEndMm[k0]);
  return [side, hermite(f.heightMm[k0], f.slope[k0], f.heightMm[k1], f.slope[k1], p, u) + wrap];
}

/** Rings of an ellipse along a path, square to it; the sideways axis lies level, on the side of `flat`. */
function addTube(mesh: MeshParts, path: Vec[], sizes: [number, number][], flat: THREE.Vector3, owner: number): void {
  const first = mesh.position.length / 3;
  for (let k = 0; k < path.length; k++) {
    const before = path[Math.max(0, k - 1)];
    const after = path[Math.min(path.length - 1, k + 1)];
    const tangent = new THREE.Vector3(...after).sub(new THREE.Vector3(...before)).normalize();
    const side = new THREE.Vector3(-tangent.y, tangent.x, 0).normalize();
    if (side.dot(flat) < 0) side.negate();
    const up = new THREE.Vector3().crossVectors(side, tangent);
    if (up.z < 0) up.negate();
    for (let a = 0; a < AROUND; a++) {
      const angle = (2 * Math.PI * a) / AROUND;
      const at = new THREE.Vector3(...path[k])
        .addScaledVector(side, sizes[k][0] * Math.cos(angle))
        .addScaledVector(up, sizes[k][1] * Math.sin(angle));
      mesh.position.push(at.x, at.y, at.z);
      mesh.owner.push(owner);
    }
  }
  for (let k = 0; k + 1 < path.length; k++) {
    for (let a = 0; a < AROUND; a++) {
      const b = (a + 1) % AROUND;
      const i = first + k * AROUND;
      mesh.index.push(i + a, i + b, i + AROUND + a, i + b, i + AROUND + b, i + AROUND + a);
    }
  }
}

function addEllipsoid(mesh: MeshParts, centre: Vec, half: number, halfHeight: number, owner: number): void {
  const sphere = new THREE.SphereGeometry(1, 48, 32);
  const points = sphere.getAttribute('position');
  const first = mesh.position.length / 3;
  for (let k = 0; k < points.count; k++) {
    mesh.position.push(
      centre[0] + half * points.getX(k),
      centre[1] + half * points.getY(k),
      centre[2] + halfHeight * points.getZ(k),
    );
    mesh.owner.push(owner);
  }
  for (const corner of sphere.getIndex()!.array) mesh.index.push(first + corner);
}

function addThreads(mesh: MeshParts, problem: ClothProblem, geometry: ClothGeometry): void {
  const node = (row: number, end: number) =>
    (row % geometry.periodRows) * geometry.periodEnds + (end % geometry.periodEnds);
  for (let row = 0; row < problem.rows; row++) {
    const yarn = problem.yarns[problem.rowYarn[row]];
    const path: Vec[] = [];
    const sizes: [number, number][] = [];
    for (let end = problem.rowFirst[row]; end < problem.rowLast[row]; end++) {
      const p = geometry.endXMm[end + 1] - geometry.endXMm[end];
      addSegment(path, sizes, geometry.weft, node(row, end), node(row, end + 1), p, yarn, (u, side, z) => [
        geometry.endXMm[end] + u * p,
        geometry.rowYMm[row] + side,
        z,
      ]);
    }
    if (path.length > 1) addTube(mesh, path, sizes, new THREE.Vector3(0, 1, 0), row * 2);
  }
  for (let end = 0; end < problem.ends; end++) {
    const yarn = problem.yarns[problem.endYarn[end]];
    const path: Vec[] = [];
    const sizes: [number, number][] = [];
    // Of rows at one height only the one present at this end bends the warp; else any.
    const rows: number[] = [];
    for (let row = 0; row < problem.rows; row++) {
      const present = end >= problem.rowFirst[row] && end <= problem.rowLast[row];
      const last = rows[rows.length - 1];
      if (rows.length === 0 || geometry.rowYMm[row] > geometry.rowYMm[last]) rows.push(row);
      else if (present) rows[rows.length - 1] = row;
    }
    for (let k = 0; k + 1 < rows.length; k++) {
      const p = geometry.rowYMm[rows[k + 1]] - geometry.rowYMm[rows[k]];
      addSegment(path, sizes, geometry.warp, node(rows[k], end), node(rows[k + 1], end), p, yarn, (u, side, z) => [
        geometry.endXMm[end] + side,
        geometry.rowYMm[rows[k]] + u * p,
        z,
      ]);
    }
    addTube(mesh, path, sizes, new THREE.Vector3(1, 0, 0), end * 2 + 1);
  }
}

function addSegment(
  path: Vec[],
  sizes: [number, number][],
  f: CurveField,
  k0: number,
  k1: number,
  p: number,
  yarn: ClothProblem['yarns'][number],
  place: (u: number, side: number, z: number) => Vec,
): void {
  for (let k = path.length === 0 ? 0 : 1; k <= ALONG; k++) {
    const u = k / ALONG;
    const [side, z] = centreAt(f, k0, k1, p, u);
    path.push(place(u, side, z));
    const step = u * u * (3 - 2 * u);
    sizes.push([
      (yarn.contactWidthMm / 2) * (f.widthFactor[k0] + step * (f.widthFactor[k1] - f.widthFactor[k0])),
      (yarn.contactHeightMm / 2) * (f.heightFactor[k0] + step * (f.heightFactor[k1] - f.heightFactor[k0])),
    ]);
  }
}

/** Turns and tails from their control points. */
function addThreadEnds(mesh: MeshParts, cloth: PackedCloth): void {
  const t = cloth.extraTable;
  for (let extra = 0; extra < cloth.extras; extra++) {
    const at = extra * EXTRA_TEXELS * 4;
    const half = t[at + 3];
    const halfHeight = half * t[at + 7];
    const owner = t[at + 11];
    const point = (k: number): Vec => [t[at + k * 4], t[at + k * 4 + 1], t[at + k * 4 + 2]];
    const [a, b, c] = [point(0), point(1), point(2)];
    const path: Vec[] = [];
    const sizes: [number, number][] = [];
    for (let step = 0; step <= ALONG; step++) {
      const s = step / ALONG;
      path.push([0, 1, 2].map((k) => (1 - s) ** 2 * a[k] + 2 * (1 - s) * s * b[k] + s ** 2 * c[k]) as Vec);
      sizes.push([half, halfHeight]);
    }
    const run = new THREE.Vector3(c[0] - a[0], c[1] - a[1], 0);
    const flat = Math.abs(run.x) > Math.abs(run.y) ? new THREE.Vector3(0, 1, 0) : new THREE.Vector3(1, 0, 0);
    addBentTube(mesh, path, sizes, flat, owner);
    addEllipsoid(mesh, a, half, halfHeight, owner);
    addEllipsoid(mesh, c, half, halfHeight, owner);
  }
}

/** As addTube, the sideways axis always level and square to the path, for paths that turn round. */
function addBentTube(
  mesh: MeshParts,
  path: Vec[],
  sizes: [number, number][],
  flat: THREE.Vector3,
  owner: number,
): void {
  let sideways = flat.clone();
  for (let k = 0; k + 1 < path.length; k++) {
    const tangent = new THREE.Vector3(path[k + 1][0] - path[k][0], path[k + 1][1] - path[k][1], 0);
    if (tangent.length() > 1e-9) {
      const level = new THREE.Vector3(-tangent.y, tangent.x, 0).normalize();
      sideways = level.dot(sideways) < 0 ? level.negate() : level;
    }
    addTube(mesh, [path[k], path[k + 1]], [sizes[k], sizes[k + 1]], sideways, owner);
  }
}

export interface OracleBuffers {
  /** row * 2, or end * 2 + 1; -1 on background. */
  readonly owner: Int32Array;
  /** Distance from the plane through the pose's centre, away from the eye, mm. */
  readonly depthMm: Float32Array;
}

/** The cloth as posed, without perspective, through the pixels' middles, bottom row first. */
export function drawOracle(
  renderer: THREE.WebGLRenderer,
  cloth: ClothFixture,
  packed: PackedCloth,
  pose: ClothPose,
  width: number,
  height: number,
): Promise<OracleBuffers> {
  const parts: MeshParts = { position: [], owner: [], index: [] };
  addThreads(parts, cloth.problem, cloth.geometry);
  addThreadEnds(parts, packed);
  return drawParts(renderer, parts, pose, width, height);
}

/** The same of any triangles. */
export async function drawParts(
  renderer: THREE.WebGLRenderer,
  parts: MeshParts,
  pose: ClothPose,
  width: number,
  height: number,
): Promise<OracleBuffers> {
  const geometry = new THREE.BufferGeometry();
  geometry.setAttribute('position', new THREE.Float32BufferAttribute(parts.position, 3));
  geometry.setAttribute('owner', new THREE.Float32BufferAttribute(parts.owner, 1));
  geometry.setIndex(parts.index);
  const material = new THREE.ShaderMaterial({
    glslVersion: THREE.GLSL3,
    side: THREE.DoubleSide,
    vertexShader: `in float owner; flat out float vOwner; out float vDepth;
      void main() {
        vec4 eye = modelViewMatrix * vec4(position, 1.0);
        vOwner = owner; vDepth = -eye.z; gl_Position = projectionMatrix * eye;
      }`,
    fragmentShader: `flat in float vOwner; in float vDepth; out vec4 result;
      void main() { result = vec4(vOwner, vDepth, 0.0, 1.0); }`,
  });
  const mesh = new THREE.Mesh(geometry, material);
  mesh.position.set(-pose.centreMm[0], -pose.centreMm[1], 0);
  mesh.frustumCulled = false;
  const turn = new THREE.Group();
  turn.rotation.set(-pose.pitchRad, pose.yawRad + (pose.turnedOver ? Math.PI : 0), pose.rollRad, 'ZXY');
  turn.add(mesh);
  const scene = new THREE.Scene();
  scene.add(turn);
  const [halfX, halfY] = [width / 2 / pose.pixelsPerMm, height / 2 / pose.pixelsPerMm];
  const eyeMm = 200;
  const camera = new THREE.OrthographicCamera(-halfX, halfX, halfY, -halfY, 1, 2 * eyeMm);
  camera.position.z = eyeMm;
  const target = new THREE.WebGLRenderTarget(width, height, { type: THREE.FloatType });
  renderer.setRenderTarget(target);
  renderer.setClearColor(0, 0);
  renderer.clear();
  renderer.render(scene, camera);
  renderer.setRenderTarget(null);
  const read = new Float32Array(width * height * 4);
  await renderer.readRenderTargetPixelsAsync(target, 0, 0, width, height, read);
  target.dispose();
  geometry.dispose();
  material.dispose();
  const owner = new Int32Array(width * height).fill(-1);
  const depthMm = new Float32Array(width * height).fill(Number.NaN);
  for (let p = 0; p < width * height; p++) {
    if (read[p * 4 + 3] === 0) continue;
    owner[p] = Math.round(read[p * 4]);
    depthMm[p] = read[p * 4 + 1] - eyeMm;
  }
  return { owner, depthMm };
}
