import * as THREE from 'three';
import type { ClothFixture } from '#tests/helpers/clothFixtures.ts';

/** Sides of a tube and rings along a segment, as an ordinary renderer would draw threads. */
const SIDES = 8;
const RINGS = 5;

const VERTEX = `
in vec2 ring;
in vec4 place;
in vec4 shape;
uniform mat4 toClip;
out vec3 vNormal;
void main() {
  // place: x, y, z of the node, height at the next; shape: pitch, half width, half height, 1 along y
  float u = ring.x;
  float z = mix(place.z, place.w, u * u * (3.0 - 2.0 * u));
  vec2 section = vec2(cos(ring.y), sin(ring.y));
  float along = u * shape.x;
  vec3 p = vec3(place.xy, z + section.y * shape.z);
  p += shape.w > 0.5 ? vec3(section.x * shape.y, along, 0.0) : vec3(along, section.x * shape.y, 0.0);
  vNormal = shape.w > 0.5 ? vec3(section.x, 0.0, section.y) : vec3(0.0, section);
  gl_Position = toClip * vec4(p, 1.0);
}`;

const FRAGMENT = `
in vec3 vNormal;
out vec4 colour;
void main() {
  colour = vec4(vec3(0.2 + 0.8 * max(0.0, dot(normalize(vNormal), vec3(-0.5, 0.6, 0.62)))), 1.0);
}`;

/** The same threads as instanced tubes, one instance a segment, for comparison. */
export function instancedTubes(cloth: ClothFixture): {
  scene: THREE.Scene;
  toClip: THREE.Matrix4;
  dispose: () => void;
} {
  const { problem, geometry } = cloth;
  const { rows, ends, endXMm, rowYMm } = geometry;
  const count = 2 * rows * ends;
  const place = new Float32Array(4 * count);
  const shape = new Float32Array(4 * count);
  let k = 0;
  const put = (x: number, y: number, z0: number, z1: number, pitch: number, yarn: number, up: number) => {
    const body = problem.yarns[yarn];
    place.set([x, y, z0, z1], 4 * k);
    shape.set([pitch, body.contactWidthMm / 2, body.contactHeightMm / 2, up], 4 * k);
    k++;
  };
  const at = (row: number, end: number) =>
    (row % geometry.periodRows) * geometry.periodEnds + (end % geometry.periodEnds);
  for (let row = 0; row + 1 < rows; row++) {
    for (let end = 0; end + 1 < ends; end++) {
      const here = at(row, end);
      const x = endXMm[end];
      const y = rowYMm[row];
      const { warp, weft } = geometry;
      put(x, y, warp.heightMm[here], warp.heightMm[at(row + 1, end)], rowYMm[row + 1] - y, problem.endYarn[end], 1);
      put(x, y, weft.heightMm[here], weft.heightMm[at(row, end + 1)], endXMm[end + 1] - x, problem.rowYarn[row], 0);
    }
  }
  const tube = new THREE.InstancedBufferGeometry();
  const ring = new Float32Array(2 * RINGS * (SIDES + 1));
  const index: number[] = [];
  for (let r = 0; r < RINGS; r++) {
    for (let s = 0; s <= SIDES; s++) {
      const v = r * (SIDES + 1) + s;
      ring.set([r / (RINGS - 1), (2 * Math.PI * s) / SIDES], 2 * v);
      if (r + 1 < RINGS && s < SIDES) index.push(v, v + 1, v + SIDES + 1, v + 1, v + SIDES + 2, v + SIDES + 1);
    }
  }
  tube.setAttribute('ring', new THREE.BufferAttribute(ring, 2));
  tube.setIndex(index);
  tube.setAttribute('place', new THREE.InstancedBufferAttribute(place, 4));
  tube.setAttribute('shape', new THREE.InstancedBufferAttribute(shape, 4));
  tube.instanceCount = k;
  const toClip = new THREE.Matrix4();
  const material = new THREE.RawShaderMaterial({
    glslVersion: THREE.GLSL3,
    vertexShader: VERTEX,
    fragmentShader: `precision highp float;${FRAGMENT}`,
    uniforms: { toClip: { value: toClip } },
    side: THREE.DoubleSide,
  });
  const mesh = new THREE.Mesh(tube, material);
  mesh.frustumCulled = false;
  const scene = new THREE.Scene();
  scene.add(mesh);
  return {
    scene,
    toClip,
    dispose: () => {
      tube.dispose();
      material.dispose();
    },
  };
}
