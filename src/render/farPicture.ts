import * as THREE from 'three';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ClothTextures } from './clothTextures.ts';
import { createEye, type Eye, placeEye } from './eye.ts';
import { farWindow, type PicturePart } from './farWindow.ts';
import type { PictureScene } from './pictureDrawer.ts';

/** Nodes of the view grid on a side: with perspective the eye's direction changes over the cloth. */
const VIEW_NODES = 5;
/** From this footprint over pitch on the far picture begins to stand in, where a scene names no other. */
const FAR_BEGINS = 0.2;
/** From so many times that on it stands alone. */
const FAR_ALONE = 3;
const ANISOTROPY = 16;

/** More than are on a canvas at once: what goes unused the longest goes first. */
const MOST_PICTURES = 8;
/** A half-float texel with its share of the smaller copies. */
export const BYTES_PER_TEXEL = (8 * 4) / 3;

const scratchEye = createEye();

/** What is kept for one scene. */
interface Made {
  classShade: THREE.WebGLRenderTarget | null;
  flat: THREE.WebGLRenderTarget | null;
  from: ClothTextures | null;
  as: string;
}

/**
 * The cloth laid flat as it looks from where the eye is: kinds of crossings lit first, then spread over the crossings in
 * view, with smaller copies for larger footprints. Kept for each scene, since several take turns, and made anew only where
 * its eye, light or cloth change.
 */
export class FarPicture {
  /** How often one was made: for checks. */
  makings = 0;
  /** The one used last is last. */
  private readonly kept = new Map<PictureScene, Made>();
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
    part?: PicturePart,
  ): void {
    const { uniforms: u } = this.programs;
    u.uFarOn.value = 0;
    scene.farMissed = false;
    const far = textures?.far;
    if (!textures || !far || !this.able || scene.walkAll) return;
    const window = farWindow(textures.cloth, eye, width, height, part);
    const begins = scene.farBegins ?? FAR_BEGINS;
    if (window.footprint < begins) {
      // The picture's own targets have its memory now.
      this.release(scene);
      return;
    }
    u.uFarRange.value.set(begins, FAR_ALONE * begins);
    if (scene.farWaits) {
      scene.farMissed = true;
      return;
    }
    const nodes = eye.tanPerPixel > 0 ? VIEW_NODES : 1;
    u.uFarWindow.value.set(window.end, window.line, window.block, nodes);
    u.uFarSize.value.set(window.width, window.height);
    const as = JSON.stringify([scene.pose, scene.light, scene.background, scene.backLit, width, height, scale, window]);
    const made = this.madeFor(scene);
    if (made.from !== textures || made.as !== as || !made.flat) {
      this.make(made, far.classes, nodes, window.width, window.height);
      made.from = textures;
      made.as = as;
    }
    u.uFarCloth.value = made.flat?.texture ?? null;
    u.uFarOn.value = 1;
  }

  /** Whether a scene is one to make a picture for, drawn with so many pixels. */
  standsIn(textures: ClothTextures | null, scene: PictureScene, width: number, height: number): boolean {
    if (!textures?.far || !this.able || scene.walkAll) return false;
    placeEye(scratchEye, scene.pose, height, 1);
    return farWindow(textures.cloth, scratchEye, width, height).footprint >= (scene.farBegins ?? FAR_BEGINS);
  }

  /** What all pictures take together, with their smaller copies. */
  get bytes(): number {
    let texels = 0;
    for (const { flat } of this.kept.values()) texels += flat ? flat.width * flat.height : 0;
    return texels * BYTES_PER_TEXEL;
  }

  release(scene: PictureScene): void {
    const made = this.kept.get(scene);
    made?.classShade?.dispose();
    made?.flat?.dispose();
    this.kept.delete(scene);
  }

  dispose(): void {
    this.renderer.domElement.removeEventListener('webglcontextrestored', this.forget);
    for (const scene of this.kept.keys()) this.release(scene);
  }

  private readonly forget = (): void => {
    for (const made of this.kept.values()) made.from = null;
  };

  private madeFor(scene: PictureScene): Made {
    const made = this.kept.get(scene) ?? { classShade: null, flat: null, from: null, as: '' };
    this.kept.delete(scene);
    this.kept.set(scene, made);
    if (this.kept.size > MOST_PICTURES) this.release([...this.kept.keys()][0]);
    return made;
  }

  private make(made: Made, classes: number, nodes: number, width: number, height: number): void {
    const { renderer, programs } = this;
    const u = programs.uniforms;
    const classShade = this.sized(made.classShade, classes, nodes * nodes, false);
    const flat = this.sized(made.flat, width, height, true);
    made.classShade = classShade;
    made.flat = flat;
    this.makings++;
    // A texture cannot be read while it is drawn to.
    u.uFarCloth.value = null;
    u.uFarClassShade.value = null;
    programs.farClass.draw(renderer, classShade);
    u.uFarClassShade.value = classShade.texture;
    programs.farCloth.draw(renderer, flat);
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
