import * as THREE from 'three';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ClothTextures } from './clothTextures.ts';
import type { Eye } from './eye.ts';
import { farWindow } from './farWindow.ts';
import type { PictureScene } from './pictureDrawer.ts';

/** Nodes of the view grid on a side: with perspective the eye's direction changes over the cloth. */
const VIEW_NODES = 5;
/** As FAR_BEGINS in shaders/cloth/farView.glsl: below this footprint over pitch everywhere, nothing is prepared. */
const FAR_BEGINS = 0.2;
const ANISOTROPY = 16;

/**
 * The cloth laid flat as it looks from where the eye is: kinds of crossings lit first, then spread over the crossings in
 * view, with smaller copies for larger footprints. Made anew only where eye, light or cloth change.
 */
export class FarPicture {
  private classShade: THREE.WebGLRenderTarget | null = null;
  private flat: THREE.WebGLRenderTarget | null = null;
  private madeFor: ClothTextures | null = null;
  private madeAs = '';
  private readonly able: boolean;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
  ) {
    const gl = renderer.getContext();
    this.able =
      gl.getExtension('EXT_color_buffer_float') !== null || gl.getExtension('EXT_color_buffer_half_float') !== null;
    renderer.domElement.addEventListener('webglcontextrestored', this.forget);
  }

  /** Sets the far picture's uniforms for a scene; the eye's and the light's are set already. */
  prepare(
    textures: ClothTextures | null,
    scene: PictureScene,
    eye: Eye,
    width: number,
    height: number,
    scale: number,
  ): void {
    const { uniforms: u } = this.programs;
    u.uFarOn.value = 0;
    const far = textures?.far;
    if (!textures || !far || !this.able || scene.walkAll) return;
    const window = farWindow(textures.cloth, eye, width, height);
    if (window.footprint < FAR_BEGINS) return;
    const nodes = eye.tanPerPixel > 0 ? VIEW_NODES : 1;
    u.uFarWindow.value.set(window.end, window.line, window.block, nodes);
    u.uFarSize.value.set(window.width, window.height);
    const as = JSON.stringify([scene.pose, scene.light, scene.background, scene.backLit, width, height, scale, window]);
    if (this.madeFor !== textures || this.madeAs !== as || !this.flat) {
      this.make(far.classes, nodes, window.width, window.height);
      this.madeFor = textures;
      this.madeAs = as;
    }
    u.uFarCloth.value = this.flat?.texture ?? null;
    u.uFarOn.value = 1;
  }

  dispose(): void {
    this.renderer.domElement.removeEventListener('webglcontextrestored', this.forget);
    this.classShade?.dispose();
    this.flat?.dispose();
  }

  private readonly forget = (): void => {
    this.madeFor = null;
  };

  private make(classes: number, nodes: number, width: number, height: number): void {
    const { renderer, programs } = this;
    const u = programs.uniforms;
    this.classShade = this.sized(this.classShade, classes, nodes * nodes, false);
    this.flat = this.sized(this.flat, width, height, true);
    // A texture cannot be read while it is drawn to.
    u.uFarCloth.value = null;
    u.uFarClassShade.value = null;
    programs.farClass.draw(renderer, this.classShade);
    u.uFarClassShade.value = this.classShade.texture;
    programs.farCloth.draw(renderer, this.flat);
  }

  private sized(target: THREE.WebGLRenderTarget | null, width: number, height: number, mips: boolean) {
    if (target && target.width === width && target.height === height) return target;
    target?.dispose();
    return new THREE.WebGLRenderTarget(width, height, {
      depthBuffer: false,
      stencilBuffer: false,
      type: THREE.HalfFloatType,
      minFilter: mips ? THREE.LinearMipmapLinearFilter : THREE.NearestFilter,
      magFilter: mips ? THREE.LinearFilter : THREE.NearestFilter,
      generateMipmaps: mips,
      anisotropy: mips ? Math.min(ANISOTROPY, this.renderer.capabilities.getMaxAnisotropy()) : 1,
    });
  }
}
