import * as THREE from 'three';
import type { ClothTextures, Uniforms } from './clothTextures.ts';
import { type HairPlaces, MOST_PLACED } from './hairPlaces.ts';
import type { HairDraw } from './hairWindow.ts';
import type { ProgramKinds } from './programKinds.ts';
import { ProgramPass } from './programPass.ts';

/** Hairs of one instance: GPUs take many small ones slowly. */
export const HAIRS_A_BATCH = 16;

/** Draws hair by hair over the picture buffer; the walk has left its depth there. */
export class HairPass extends ProgramPass<THREE.InstancedBufferGeometry> {
  /** By the number of their pieces. */
  private readonly bands: Map<number, THREE.InstancedBufferGeometry>;

  constructor(
    kinds: ProgramKinds,
    private readonly uniforms: Uniforms,
    private readonly hairPlaces: HairPlaces,
  ) {
    const single = bandOf(1);
    super(kinds, single);
    this.bands = new Map([[1, single]]);
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
    for (const { group, first, threads, cell, cells, places, stride, pieces, whole } of draws) {
      u.uHairRange.value.set(first, threads, cell, cells);
      u.uHairWhose.value.set(group.kind, group.material, stride, places);
      u.uHairWholes.value = whole ? 1 : 0;
      u.uHairsRound.value = group.around;
      u.uHairTaper.value = group.taper;
      const band = this.band(pieces);
      this.mesh.geometry = band;
      const hairs = Math.ceil(places / stride);
      for (let from = 0; from < hairs; from += MOST_PLACED) {
        const count = Math.min(MOST_PLACED, hairs - from);
        this.hairPlaces.draw(renderer, from, count);
        band.instanceCount = Math.ceil(count / HAIRS_A_BATCH);
        renderer.setRenderTarget(target);
        this.render(renderer);
      }
    }
  }

  override dispose(): void {
    for (const band of this.bands.values()) band.dispose();
    super.dispose();
  }

  private band(pieces: number): THREE.InstancedBufferGeometry {
    const kept = this.bands.get(pieces);
    if (kept) return kept;
    const band = bandOf(pieces);
    this.bands.set(pieces, band);
    return band;
  }
}

/** As many hairs as one instance has, each a band of so many pieces. */
function bandOf(pieces: number): THREE.InstancedBufferGeometry {
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
  return band;
}
