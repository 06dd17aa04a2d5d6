import * as THREE from 'three';
import type { ClothFixture } from '#tests/helpers/clothFixtures.ts';

const SIDES = 8;
const PIECES = 4;

/**
 * The usual way, to compare with: one instanced 8-sided tube of 4 pieces a crossing and family, bent in the vertex shader.
 * Diffuse light only.
 */
export function createTubeScene({ problem, geometry }: ClothFixture): { scene: THREE.Scene; dispose: () => void } {
  const tube = new THREE.InstancedBufferGeometry();
  const places: number[] = [];
  const corners: number[] = [];
  for (let k = 0; k <= PIECES; k++) {
    for (let a = 0; a < SIDES; a++) places.push(k / PIECES, (2 * Math.PI * a) / SIDES, 0);
  }
  for (let k = 0; k < PIECES; k++) {
    for (let a = 0; a < SIDES; a++) {
      const [i, j] = [k * SIDES + a, k * SIDES + ((a + 1) % SIDES)];
      corners.push(i, j, i + SIDES, j, j + SIDES, i + SIDES);
    }
  }
  tube.setAttribute('position', new THREE.Float32BufferAttribute(places, 3));
  tube.setIndex(corners);
  const { rows, ends, warp, weft, periodEnds, periodRows } = geometry;
  const count = 2 * (rows - 1) * (ends - 1);
  const start = new Float32Array(count * 4);
  const shape = new Float32Array(count * 4);
  let at = 0;
  for (let row = 0; row + 1 < rows; row++) {
    for (let end = 0; end + 1 < ends; end++) {
      const k = (row % periodRows) * periodEnds + (end % periodEnds);
      const up = ((row + 1) % periodRows) * periodEnds + (end % periodEnds);
      const right = (row % periodRows) * periodEnds + ((end + 1) % periodEnds);
      const pitchY = geometry.rowYMm[row + 1] - geometry.rowYMm[row];
      const pitchX = geometry.endXMm[end + 1] - geometry.endXMm[end];
      const radiusWarp = problem.yarns[problem.endYarn[end]].contactWidthMm / 2;
      const radiusWeft = problem.yarns[problem.rowYarn[row]].contactWidthMm / 2;
      start.set([geometry.endXMm[end], geometry.rowYMm[row], warp.heightMm[k], 0], at);
      shape.set([warp.heightMm[up], pitchY, radiusWarp, 0], at);
      at += 4;
      start.set([geometry.endXMm[end], geometry.rowYMm[row], weft.heightMm[k], 1], at);
      shape.set([weft.heightMm[right], pitchX, radiusWeft, 0], at);
      at += 4;
    }
  }
  tube.setAttribute('start', new THREE.InstancedBufferAttribute(start, 4));
  tube.setAttribute('shape', new THREE.InstancedBufferAttribute(shape, 4));
  tube.instanceCount = count;
  const material = new THREE.ShaderMaterial({
    glslVersion: THREE.GLSL3,
    vertexShader: `in vec4 start; in vec4 shape; out vec3 vNormal; out float vFamily;
      void main() {
        float u = position.x;
        float z = mix(start.z, shape.x, u * u * (3.0 - 2.0 * u));
        vec2 ring = vec2(cos(position.y), sin(position.y));
        vec3 centre = vec3(start.xy, z) + (start.w > 0.5 ? vec3(u * shape.y, 0.0, 0.0) : vec3(0.0, u * shape.y, 0.0));
        vNormal = start.w > 0.5 ? vec3(0.0, ring) : vec3(ring.x, 0.0, ring.y);
        vFamily = start.w;
        gl_Position = projectionMatrix * modelViewMatrix * vec4(centre + shape.z * vNormal, 1.0);
      }`,
    fragmentShader: `in vec3 vNormal; in float vFamily; out vec4 colour;
      void main() {
        float light = max(0.0, dot(normalize(vNormal), normalize(vec3(-0.5, 0.62, 0.6))));
        colour = vec4((vFamily > 0.5 ? vec3(0.7, 0.65, 0.55) : vec3(0.1, 0.2, 0.5)) * (0.3 + 0.7 * light), 1.0);
      }`,
  });
  const mesh = new THREE.Mesh(tube, material);
  mesh.frustumCulled = false;
  const scene = new THREE.Scene();
  scene.add(mesh);
  return {
    scene,
    dispose: () => {
      tube.dispose();
      material.dispose();
    },
  };
}
