import * as THREE from 'three';
import { compileKind, type ProgramKinds } from './programKinds.ts';

const triangle = new THREE.BufferGeometry();
triangle.setAttribute('position', new THREE.BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));

/** A program drawn over a whole target, or a rectangle of it. */
export class ScreenPass {
  private readonly scene = new THREE.Scene();
  private readonly camera = new THREE.Camera();
  private readonly mesh: THREE.Mesh<THREE.BufferGeometry, THREE.RawShaderMaterial>;

  constructor(private readonly kinds: ProgramKinds) {
    this.mesh = new THREE.Mesh(triangle, kinds.of(0));
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

  /** @param layer of a target of several */
  draw(renderer: THREE.WebGLRenderer, target: THREE.WebGLRenderTarget | null, layer = 0): void {
    renderer.setRenderTarget(target, layer);
    // three takes uniforms anew only where the material changes between draws.
    this.material.uniformsNeedUpdate = true;
    renderer.render(this.scene, this.camera);
  }

  dispose(): void {
    this.kinds.dispose();
  }
}
