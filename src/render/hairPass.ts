import * as THREE from 'three';
import type { ClothTextures, Uniforms } from './clothTextures.ts';
import { type HairPlaces, MOST_PLACED } from './hairPlaces.ts';
import type { HairDraw } from './hairWindow.ts';
import { compileKind, type ProgramKinds } from './programKinds.ts';

/** Hairs of one instance: GPUs take many small ones slowly. */
export const HAIRS_A_BATCH = 16;

/** Draws hair by hair over the picture buffer; the walk has left its depth there. */
export class HairPass {
  private readonly scene = new THREE.Scene();
  private readonly camera = new THREE.Camera();
  private readonly mesh: THREE.Mesh<THREE.InstancedBufferGeometry, THREE.RawShaderMaterial>;
  /** By the number of their pieces. */
  private readonly bands = new Map<number, THREE.InstancedBufferGeometry>();

  constructor(
    private readonly kinds: ProgramKinds,
    private readonly uniforms: Uniforms,
    private readonly hairPlaces: HairPlaces,
  ) {
    this.mesh = new THREE.Mesh(this.band(1), kinds.of(0));
    this.mesh.frustumCulled = false;
    this.scene.add(this.mesh);
    this.scene.matrixAutoUpdate = false;
  }

  /** Of the kind in use. */
  get material(): THREE.RawShaderMaterial {
    return this.mesh.material;
  }

  /** Draws for cloths of these features from now on. */
  use(features: number): void {
    this.mesh.material = this.kinds.of(features);
  }

  keepFor(sets: readonly number[]): void {
    this.kinds.keepFor(sets);
  }

  /** Resolves when the program for these features can be used without a wait. */
  compile(renderer: THREE.WebGLRenderer, target: THREE.WebGLRenderTarget | null, features = 0): Promise<void> {
    return compileKind(renderer, this.scene, this.mesh, this.kinds.of(features), target);
  }

  draw(
    renderer: THREE.WebGLRenderer,
    target: THREE.WebGLRenderTarget,
    textures: ClothTextures,
    draws: readonly HairDraw[],
  ): void {
    const u = this.uniforms;
    u.uBufferSize.value.set(target.width, target.height);
    u.uHairThreads.value = textures.hairList;
    for (const { group, first, threads, cell, cells, places, stride, pieces } of draws) {
      u.uHairRange.value.set(first, threads, cell, cells);
      u.uHairWhose.value.set(group.kind, group.material, stride, places);
      const band = this.band(pieces);
      this.mesh.geometry = band;
      const hairs = Math.ceil(places / stride);
      for (let from = 0; from < hairs; from += MOST_PLACED) {
        const count = Math.min(MOST_PLACED, hairs - from);
        this.hairPlaces.draw(renderer, from, count);
        band.instanceCount = Math.ceil(count / HAIRS_A_BATCH);
        // three takes uniforms anew only where the material changes between draws.
        this.material.uniformsNeedUpdate = true;
        renderer.setRenderTarget(target);
        renderer.render(this.scene, this.camera);
      }
    }
  }

  dispose(): void {
    for (const band of this.bands.values()) band.dispose();
    this.kinds.dispose();
  }

  private band(pieces: number): THREE.InstancedBufferGeometry {
    const kept = this.bands.get(pieces);
    if (kept) return kept;
    const band = new THREE.InstancedBufferGeometry();
    const places: number[] = [];
    const triangles: number[] = [];
    for (let hair = 0; hair < HAIRS_A_BATCH; hair++) {
      for (let k = 0; k <= pieces; k++) {
        const at = places.length / 3;
        places.push(k / pieces, -1, hair, k / pieces, 1, hair);
        if (k < pieces) triangles.push(at, at + 1, at + 2, at + 1, at + 3, at + 2);
      }
    }
    band.setAttribute('position', new THREE.BufferAttribute(new Float32Array(places), 3));
    band.setIndex(triangles);
    this.bands.set(pieces, band);
    return band;
  }
}
