import * as THREE from 'three';
import type { ProgramKinds } from './programKinds.ts';
import { ProgramPass } from './programPass.ts';

const triangle = new THREE.BufferGeometry();
triangle.setAttribute('position', new THREE.BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));

/** A program drawn over a whole target, or a rectangle of it. */
export class ScreenPass extends ProgramPass<THREE.BufferGeometry> {
  constructor(kinds: ProgramKinds) {
    super(kinds, triangle);
  }

  /** @param layer of a target of several */
  draw(renderer: THREE.WebGLRenderer, target: THREE.WebGLRenderTarget | null, layer = 0): void {
    renderer.setRenderTarget(target, layer);
    this.render(renderer);
  }
}
