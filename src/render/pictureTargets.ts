import * as THREE from 'three';

/** Where a picture is built: the buffer of ids, depths, normals and directions, and the means of samples. */
export class PictureTargets {
  readonly buffer: THREE.WebGLRenderTarget;
  /** What the rays to the light met. */
  readonly light: THREE.WebGLRenderTarget;
  /** Two that take turns as the last whole quick picture and the next, and two as mean so far and mean to be. */
  private readonly quicks: [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget];
  private readonly means: [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget];
  private frontQuick = 0;
  private front = 0;

  constructor(
    readonly width: number,
    readonly height: number,
    halfFloat: boolean,
  ) {
    const plain: THREE.RenderTargetOptions = {
      depthBuffer: false,
      stencilBuffer: false,
      minFilter: THREE.NearestFilter,
      magFilter: THREE.NearestFilter,
      generateMipmaps: false,
    };
    this.buffer = new THREE.WebGLRenderTarget(width, height, { ...plain, count: 4 });
    this.light = new THREE.WebGLRenderTarget(width, height, plain);
    const type = halfFloat ? THREE.HalfFloatType : THREE.UnsignedByteType;
    const mean = () => new THREE.WebGLRenderTarget(width, height, { ...plain, type });
    this.quicks = [mean(), mean()];
    this.means = [mean(), mean()];
  }

  get quick(): THREE.WebGLRenderTarget {
    return this.quicks[this.frontQuick];
  }

  get quickToBe(): THREE.WebGLRenderTarget {
    return this.quicks[1 - this.frontQuick];
  }

  swapQuick(): void {
    this.frontQuick = 1 - this.frontQuick;
  }

  get meanSoFar(): THREE.WebGLRenderTarget {
    return this.means[this.front];
  }

  get meanToBe(): THREE.WebGLRenderTarget {
    return this.means[1 - this.front];
  }

  swap(): void {
    this.front = 1 - this.front;
  }

  /** Restricts drawing to a rectangle (pixels, from the bottom left) in every target. */
  setScissor(x: number, y: number, width: number, height: number): void {
    for (const target of [this.buffer, this.light, ...this.quicks, ...this.means]) {
      target.scissorTest = true;
      target.scissor.set(x, y, width, height);
    }
  }

  dispose(): void {
    for (const target of [this.buffer, this.light, ...this.quicks, ...this.means]) target.dispose();
  }
}
