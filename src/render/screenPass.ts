import * as THREE from 'three';

const triangle = new THREE.BufferGeometry();
triangle.setAttribute('position', new THREE.BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));

/** A material drawn over a whole target, or a rectangle of it. */
export class ScreenPass {
  private readonly scene = new THREE.Scene();
  private readonly camera = new THREE.Camera();

  constructor(readonly material: THREE.RawShaderMaterial) {
    const mesh = new THREE.Mesh(triangle, material);
    mesh.frustumCulled = false;
    this.scene.add(mesh);
    this.scene.matrixAutoUpdate = false;
  }

  /** Resolves when the program can be used without a wait. */
  async compile(renderer: THREE.WebGLRenderer, target: THREE.WebGLRenderTarget | null): Promise<void> {
    // Whether it draws to a target or the canvas is part of a program's key in three.
    const before = renderer.getRenderTarget();
    renderer.setRenderTarget(target);
    const compiled = renderer.compileAsync(this.scene, this.camera);
    renderer.setRenderTarget(before);
    await compiled;
  }

  /** @param layer of a target of several */
  draw(renderer: THREE.WebGLRenderer, target: THREE.WebGLRenderTarget | null, layer = 0): void {
    renderer.setRenderTarget(target, layer);
    // three takes uniforms anew only where the material changes between draws.
    this.material.uniformsNeedUpdate = true;
    renderer.render(this.scene, this.camera);
  }

  dispose(): void {
    this.material.dispose();
  }
}
