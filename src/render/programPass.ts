import * as THREE from 'three';
import { compileKind, type ProgramKinds } from './programKinds.ts';

/** A mesh drawn by one program, of whichever kind the cloth at hand asks for. */
export class ProgramPass<Geometry extends THREE.BufferGeometry> {
  protected readonly scene = new THREE.Scene();
  protected readonly camera = new THREE.Camera();
  protected readonly mesh: THREE.Mesh<Geometry, THREE.RawShaderMaterial>;

  constructor(
    private readonly kinds: ProgramKinds,
    geometry: Geometry,
  ) {
    this.mesh = new THREE.Mesh(geometry, kinds.of(0));
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

  dispose(): void {
    this.kinds.dispose();
  }

  /** Draws into the target that is set. */
  protected render(renderer: THREE.WebGLRenderer): void {
    // three takes uniforms anew only where the material changes between draws.
    this.material.uniformsNeedUpdate = true;
    renderer.render(this.scene, this.camera);
  }
}
