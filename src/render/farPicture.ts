import * as THREE from 'three';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPrograms } from './clothPrograms.ts';
import { hasRelief } from './clothRelief.ts';
import type { ClothTextures } from './clothTextures.ts';
import { createEye, type Eye, placeEye } from './eye.ts';
import { type FarWindow, farWindow, type PicturePart } from './farWindow.ts';
import { pileHeightMm } from './hairField.ts';
import { type KindNodes, KindPicture, mostPartsOf, type SampleDrawing } from './kindPicture.ts';
import { leastPitch } from './partSeen.ts';
import type { PictureScene } from './pictureScene.ts';

/** Nodes of the view grid on a side. */
const VIEW_NODES = 5;
/** With so many kinds fewer nodes have to do. */
const MANY_KINDS = 64;
const FEWER_NODES = 3;
/** Footprint over pitch where the far picture begins to stand in, and from where on it stands alone. */
const STANDS_IN = [0.2, 0.6] as const;
/** With samples enough threads are told more truly by walking them, until one is hardly wider than a pixel. */
const STANDS_IN_FINE = [0.8, 1.6] as const;
/**
 * What stands out of the cloth is lost where it is laid flat: there threads are walked until many share a pixel, while the picture
 * moves too, where that is grain for as long.
 */
const STANDS_IN_RELIEF = [6, 12] as const;
/**
 * Pixels over the height of pile. Where its locks are finer than a pixel one stands in for many, as wide as a pixel (hairWindow.ts):
 * wider than pile is high it hides what lies beside the thread, and cloth came out half as bright again.
 */
const STANDS_IN_PILE = [0.22, 0.55] as const;
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
 * The cloth laid flat as it looks from where the eye is: kinds of crossings looked at first, then spread over the crossings in
 * view, with smaller copies for larger footprints. Kept for each scene, since several take turns, and made anew only where
 * its eye, light or cloth change.
 */
export class FarPicture {
  /** How often one was made: for checks. */
  makings = 0;
  /** The one used last is last. */
  private readonly kept = new Map<PictureScene, Made>();
  private readonly able: boolean;
  private readonly kinds: KindPicture;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
    drawing: SampleDrawing,
  ) {
    this.kinds = new KindPicture(renderer, programs, drawing);
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
    const far = textures?.far;
    if (!textures || !far || !this.able || scene.walkAll) return;
    const onSide = nodesOnSide(far, eye);
    const window = farWindow(textures.cloth, eye, width, height, part, mostPartsOf(far.classes * onSide ** 2));
    const range = rangeFor(textures.cloth, scene);
    if (window.footprint < range[0]) {
      // The picture's own targets have its memory now.
      this.release(scene);
      return;
    }
    u.uFarRange.value.set(...range);
    const nodes = { onSide, spanMm: window.spanMm };
    u.uFarWindow.value.set(window.end, window.line, window.block, onSide);
    u.uFarSize.value.set(window.width, window.height);
    u.uFarParts.value.set(...window.parts);
    const { pose, light, background, backLit, fine } = scene;
    const as = JSON.stringify([pose, light, background, backLit, fine, width, height, scale, window]);
    const made = this.madeFor(scene);
    if (made.from !== textures || made.as !== as || !made.flat) {
      this.make(made, textures, far, nodes, window, width * height, fine === true);
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
    return farWindow(textures.cloth, scratchEye, width, height).footprint >= rangeFor(textures.cloth, {})[0];
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
    this.kinds.dispose();
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

  private make(
    made: Made,
    textures: ClothTextures,
    far: FarCloth,
    nodes: KindNodes,
    window: FarWindow,
    pixels: number,
    fine: boolean,
  ): void {
    const { renderer, programs } = this;
    const u = programs.uniforms;
    const parts = far.classes * window.parts[0] * window.parts[1];
    const classShade = this.sized(made.classShade, parts, nodes.onSide ** 2, false);
    const flat = this.sized(made.flat, window.width, window.height, true);
    made.classShade = classShade;
    made.flat = flat;
    this.makings++;
    // A texture cannot be read while it is drawn to.
    u.uFarClassShade.value = null;
    this.kinds.draw(classShade, textures, parts, nodes, pixels, fine);
    u.uFarCloth.value = null;
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

/** Where the flat picture begins to stand in and where it stands alone: pixels over the distance between threads. */
function rangeFor(cloth: PackedCloth, { fine }: Pick<PictureScene, 'fine'>): readonly [number, number] {
  if (hasRelief(cloth)) return STANDS_IN_RELIEF;
  const range = fine ? STANDS_IN_FINE : STANDS_IN;
  const pitches = pileHeightMm(cloth) / leastPitch(cloth);
  return [Math.min(range[0], STANDS_IN_PILE[0] * pitches), Math.min(range[1], STANDS_IN_PILE[1] * pitches)];
}

/** With perspective the eye's direction changes over the cloth. */
function nodesOnSide(far: FarCloth, eye: Eye): number {
  return eye.tanPerPixel === 0 ? 1 : far.classes > MANY_KINDS ? FEWER_NODES : VIEW_NODES;
}
