import * as THREE from 'three';
import type { PictureDrawer } from './pictureDrawer.ts';

/** Two half-float targets. */
export const BLUR_BYTES_PER_PIXEL = 2 * 8;

/** Below this spread (pixels) neighbouring pixels share less than 1 % of their light: the picture is as good as sharp. */
const LEAST_SIGMA = 0.25;

/** A picture as the eye spreads it, kept until what it shows changes. */
export class EyeBlur {
  private targets: readonly [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget] | null = null;
  private held: { readonly texture: THREE.Texture; readonly version: number; readonly sigma: number } | null = null;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly halfFloat: boolean,
  ) {}

  /**
   * @param version goes up whenever the texture's picture changes
   * @param sigma of the Gaussian, picture pixels
   */
  spread(texture: THREE.Texture, width: number, height: number, version: number, sigma: number): THREE.Texture {
    if (sigma < LEAST_SIGMA) {
      this.dispose();
      return texture;
    }
    const [across, both] = this.sized(width, height);
    const { held } = this;
    if (held && held.texture === texture && held.version === version && held.sigma === sigma) return both.texture;
    const { programs, renderer } = this.drawer;
    const u = programs.uniforms;
    u.uBlurSigma.value = sigma;
    u.uPicture.value = texture;
    u.uBlurStep.value.set(1, 0);
    programs.blur.draw(renderer, across);
    u.uPicture.value = across.texture;
    u.uBlurStep.value.set(0, 1);
    programs.blur.draw(renderer, both);
    this.held = { texture, version, sigma };
    return both.texture;
  }

  dispose(): void {
    for (const target of this.targets ?? []) target.dispose();
    this.targets = null;
    this.held = null;
  }

  private sized(width: number, height: number): readonly [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget] {
    const { targets } = this;
    if (targets && targets[0].width === width && targets[0].height === height) return targets;
    this.dispose();
    const target = () =>
      new THREE.WebGLRenderTarget(width, height, {
        depthBuffer: false,
        stencilBuffer: false,
        minFilter: THREE.NearestFilter,
        magFilter: THREE.NearestFilter,
        generateMipmaps: false,
        type: this.halfFloat ? THREE.HalfFloatType : THREE.UnsignedByteType,
      });
    this.targets = [target(), target()];
    return this.targets;
  }
}
