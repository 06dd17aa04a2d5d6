import { vec3 } from 'gl-matrix';
import * as THREE from 'three';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { surfaceNormal } from '#engine/packing/walk/surface.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { ClothView } from '#render/clothView.ts';
import type { ClothPose, ClothViewOptions } from '#render/clothViewTypes.ts';
import { createEye, eyeRay, placeEye } from '#render/eye.ts';
import type { ClothFixture } from './clothFixtures.ts';

/** A view on a canvas of its own; shader errors fail the test that asks for them. */
export function openView(options: ClothViewOptions = {}) {
  const renderer = new THREE.WebGLRenderer({ canvas: document.createElement('canvas') });
  renderer.setSize(64, 64, false);
  const shaderErrors: string[] = [];
  const view = new ClothView(renderer, { ...options, onShaderError: (log) => shaderErrors.push(log) });
  return {
    renderer,
    view,
    shaderErrors,
    close: () => {
      view.dispose();
      renderer.dispose();
      renderer.forceContextLoss();
    },
  };
}

export function pack(cloth: ClothFixture): PackedCloth {
  return packCloth(cloth.problem, cloth.geometry, cloth.materials);
}

export interface TwinBuffers {
  readonly kind: Uint8Array;
  readonly index: Uint32Array;
  readonly depthMm: Float64Array;
  /** 1 where a hair was met. */
  readonly isHair: Uint8Array;
  readonly normal: Float64Array;
  /** Cosine between ray and normal, 0..1. */
  readonly incidence: Float64Array;
}

/** The picture as the TypeScript walk sees it, bottom row first, through the pixels' middles. */
export function twinBuffers(cloth: PackedCloth, pose: ClothPose, width: number, height: number): TwinBuffers {
  const walker = new ClothWalker(cloth);
  const eye = createEye();
  placeEye(eye, pose, height, 1);
  const o = vec3.create();
  const d = vec3.create();
  const hit = createWalkHit();
  const n = new Float64Array(3);
  const count = width * height;
  const out = {
    kind: new Uint8Array(count),
    index: new Uint32Array(count),
    isHair: new Uint8Array(count),
    depthMm: new Float64Array(count).fill(Number.NaN),
    normal: new Float64Array(count * 3),
    incidence: new Float64Array(count),
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      eyeRay(o, d, eye, x + 0.5 - width / 2, y + 0.5 - height / 2);
      if (!walker.walk(hit, o[0], o[1], o[2], d[0], d[1], d[2], eye.rayStart, 1e9)) continue;
      const p = y * width + x;
      out.kind[p] = hit.kind;
      out.index[p] = hit.index;
      out.isHair[p] = hit.isHair ? 1 : 0;
      out.depthMm[p] = hit.t;
      surfaceNormal(n, walker, hit, o[0] + hit.t * d[0], o[1] + hit.t * d[1], o[2] + hit.t * d[2]);
      out.normal.set(n, p * 3);
      out.incidence[p] = Math.abs(n[0] * d[0] + n[1] * d[1] + n[2] * d[2]);
    }
  }
  return out;
}
