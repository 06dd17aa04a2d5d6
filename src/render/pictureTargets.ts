import * as THREE from 'three';

/** Four buffers, their depth and the light at 4 bytes, three means of 4 half floats. */
export const BYTES_PER_PIXEL = 4 * 4 + 4 + 4 + 3 * 8;

/** Where a picture is built: the buffer of ids, depths, normals and directions, and the means of samples. */
export class PictureTargets {
  readonly buffer: THREE.WebGLRenderTarget;
  /** What the rays to the light met. */
  readonly light: THREE.WebGLRenderTarget;
  /** Three that take turns as the last whole quick picture, the mean so far and whatever is drawn next. */
  private quickMean: THREE.WebGLRenderTarget;
  private soFar: THREE.WebGLRenderTarget;
  private toBe: THREE.WebGLRenderTarget;

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
    this.buffer = new THREE.WebGLRenderTarget(width, height, { ...plain, count: 4, depthBuffer: true });
    this.light = new THREE.WebGLRenderTarget(width, height, plain);
    const type = halfFloat ? THREE.HalfFloatType : THREE.UnsignedByteType;
    const mean = () => new THREE.WebGLRenderTarget(width, height, { ...plain, type });
    this.quickMean = mean();
    this.soFar = mean();
    this.toBe = mean();
  }

  get quick(): THREE.WebGLRenderTarget {
    return this.quickMean;
  }

  get quickToBe(): THREE.WebGLRenderTarget {
    return this.toBe;
  }

  swapQuick(): void {
    [this.quickMean, this.toBe] = [this.toBe, this.quickMean];
  }

  get meanSoFar(): THREE.WebGLRenderTarget {
    return this.soFar;
  }

  get meanToBe(): THREE.WebGLRenderTarget {
    return this.toBe;
  }

  swap(): void {
    [this.soFar, this.toBe] = [this.toBe, this.soFar];
  }

  /** Restricts drawing to a rectangle (pixels, from the bottom left) in every target. */
  setScissor(x: number, y: number, width: number, height: number): void {
    for (const target of [this.buffer, this.light, this.quickMean, this.soFar, this.toBe]) {
      target.scissorTest = true;
      target.scissor.set(x, y, width, height);
    }
  }

  /** Frees all, or all but a picture that goes on being shown: that is the caller's to dispose of. */
  dispose(kept?: THREE.WebGLRenderTarget): void {
    for (const target of [this.buffer, this.light, this.quickMean, this.soFar, this.toBe]) {
      if (target !== kept) target.dispose();
    }
  }
}
