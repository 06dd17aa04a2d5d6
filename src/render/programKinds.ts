import * as THREE from 'three';

/** One program in as many kinds as cloths ask for, each compiled by itself. */
export class ProgramKinds {
  private readonly kinds = new Map<number, THREE.RawShaderMaterial>();

  /**
   * @param make by the features that concern it
   * @param concerns the features that make another program of it
   */
  constructor(
    private readonly make: (features: number) => THREE.RawShaderMaterial,
    private readonly concerns: number,
  ) {}

  /** The kind for a set of features. */
  of(features: number): THREE.RawShaderMaterial {
    const key = features & this.concerns;
    const kept = this.kinds.get(key);
    if (kept) return kept;
    const made = this.make(key);
    this.kinds.set(key, made);
    return made;
  }

  /** Lets go of kinds that none of these sets asks for. */
  keepFor(sets: readonly number[]): void {
    const keys = new Set(sets.map((set) => set & this.concerns));
    for (const [key, material] of this.kinds) {
      if (keys.has(key)) continue;
      material.dispose();
      this.kinds.delete(key);
    }
  }

  dispose(): void {
    for (const material of this.kinds.values()) material.dispose();
  }
}

/** Compiles a mesh's program of one kind, whatever it is drawn with now; resolves when that can be used without a wait. */
export async function compileKind(
  renderer: THREE.WebGLRenderer,
  scene: THREE.Scene,
  mesh: THREE.Mesh,
  material: THREE.Material,
  target: THREE.WebGLRenderTarget | null,
): Promise<void> {
  const now = mesh.material;
  // Whether it draws to a target or the canvas is part of a program's key in three.
  const before = renderer.getRenderTarget();
  mesh.material = material;
  renderer.setRenderTarget(target);
  const compiled = renderer.compileAsync(scene, new THREE.Camera());
  renderer.setRenderTarget(before);
  mesh.material = now;
  await compiled;
}
