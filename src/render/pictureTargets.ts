import * as THREE from 'three';

const PLAIN: THREE.RenderTargetOptions = {
  depthBuffer: false,
  stencilBuffer: false,
  minFilter: THREE.NearestFilter,
  magFilter: THREE.NearestFilter,
  generateMipmaps: false,
};

/** Four buffers, their depth and the light at 4 bytes, three means of 4 half floats. */
export const BYTES_PER_PIXEL = 4 * 4 + 4 + 4 + 3 * 8;

/** Where a picture is built: the buffer of ids, depths, normals and directions, and the means of samples. */
export class PictureTargets {
  readonly buffer: THREE.WebGLRenderTarget;
  /** Of the same textures: threads alone as they are found, with their cells where the light comes later; and which way they face. */
  readonly found: THREE.WebGLRenderTarget;
  readonly facing: THREE.WebGLRenderTarget;
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
    const deep = { ...PLAIN, depthBuffer: true, depthTexture: new THREE.DepthTexture(width, height) };
    this.buffer = new THREE.WebGLRenderTarget(width, height, { ...deep, count: 4 });
    this.light = new THREE.WebGLRenderTarget(width, height, PLAIN);
    const [id, depth, normal, axis] = this.buffer.textures;
    this.found = new THREE.WebGLRenderTarget(width, height, { ...deep, count: 3 });
    this.found.textures = [id, depth, this.light.texture];
    this.facing = new THREE.WebGLRenderTarget(width, height, { ...PLAIN, count: 2 });
    this.facing.textures = [normal, axis];
    const type = halfFloat ? THREE.HalfFloatType : THREE.UnsignedByteType;
    const mean = () => new THREE.WebGLRenderTarget(width, height, { ...PLAIN, type });
    this.quickMean = mean();
    this.soFar = mean();
    this.toBe = mean();
  }

  /** Lays out what shares textures, which must all be there before any is drawn to. */
  shareTextures(renderer: THREE.WebGLRenderer): void {
    for (const target of [this.light, this.buffer, this.found, this.facing]) renderer.initRenderTarget(target);
  }

  /** Depths as they are in the buffer, to where rays to the light come later: for programs that draw to the buffer. */
  copyDepths(renderer: THREE.WebGLRenderer): void {
    const gl = renderer.getContext() as WebGL2RenderingContext;
    renderer.initRenderTarget(this.light);
    renderer.setRenderTarget(this.buffer);
    gl.readBuffer(gl.COLOR_ATTACHMENT1);
    renderer.copyFramebufferToTexture(this.light.texture as THREE.FramebufferTexture);
    gl.readBuffer(gl.COLOR_ATTACHMENT0);
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
    for (const target of this.all()) {
      target.scissorTest = true;
      target.scissor.set(x, y, width, height);
    }
  }

  /** Frees all, or all but a picture that goes on being shown: that is the caller's to dispose of. */
  dispose(kept?: THREE.WebGLRenderTarget): void {
    for (const target of this.all()) {
      if (target !== kept) target.dispose();
    }
  }

  private all(): THREE.WebGLRenderTarget[] {
    const { buffer, found, facing, light, quickMean, soFar, toBe } = this;
    return [buffer, found, facing, light, quickMean, soFar, toBe];
  }
}
