import type * as THREE from 'three';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { BufferDrawer } from './bufferDrawer.ts';
import { ClothPrograms } from './clothPrograms.ts';
import { ClothTextures } from './clothTextures.ts';
import { createEye, placeEye } from './eye.ts';
import { BYTES_PER_TEXEL, FarPicture } from './farPicture.ts';
import { mostFarTexels, type PicturePart } from './farWindow.ts';
import { LightColumns, type LightWay } from './lightColumns.ts';
import { seenBehind, setLightUniforms } from './lightUniforms.ts';
import { depthRange } from './partSeen.ts';
import type { PictureScene } from './pictureScene.ts';
import type { PictureTargets } from './pictureTargets.ts';
import type { ScreenPass } from './screenPass.ts';
import type { Tile } from './tileSchedule.ts';

/** So many samples make a picture fine. */
export const FINE_FROM = 32;

/**
 * Over a pixel's width on the cloth: the thinnest stray hair that a picture shows, a fine one and any other. A fine one shows
 * down while its threads do: few hairs as wide as a pixel stand for all, and without them cotton came out 8 % darker.
 */
const FINE_HAIR = 1 / 48;
const QUICK_HAIR = 1 / 2;

/** Sets uniforms and draws tiles of samples; knows nothing of time or of what is on the canvas. */
export class PictureDrawer {
  readonly programs: ClothPrograms;
  readonly eye = createEye();
  private textures: ClothTextures | null = null;
  /** What light is asked for and colour is taken from. */
  readonly buffer: BufferDrawer;
  readonly farPicture: FarPicture;
  private readonly columns: LightColumns;
  /** Makes what rays to the light pass through, so many texels at a time. */
  private makeColumns: (mostTexels: number) => LightWay = () => 'walk';
  /** What cloths are from afar, for when they are loaded again. */
  private readonly fars = new WeakMap<PackedCloth, FarCloth>();

  constructor(
    readonly renderer: THREE.WebGLRenderer,
    countWork = false,
  ) {
    this.programs = new ClothPrograms(countWork);
    this.buffer = new BufferDrawer(renderer, this.programs, this.eye, countWork);
    this.farPicture = new FarPicture(renderer, this.programs, this);
    this.columns = new LightColumns(renderer, this.programs);
  }

  get hasCloth(): boolean {
    return this.textures !== null;
  }

  /** Whose arrays are on the GPU. */
  get cloth(): PackedCloth | null {
    return this.textures?.cloth ?? null;
  }

  setCloth(cloth: PackedCloth | null): void {
    this.textures?.dispose();
    this.textures = cloth ? this.load(cloth) : null;
  }

  /** What a cloth is from afar; wherever it is drawn from then on, nothing finer than a pixel is walked. */
  setFar(cloth: PackedCloth, far: FarCloth): void {
    this.fars.set(cloth, far);
    if (this.cloth === cloth) this.textures?.setFar(far);
  }

  farOf(cloth: PackedCloth): FarCloth | undefined {
    return this.fars.get(cloth);
  }

  /** What a scene asks of the programs that draw it. */
  featuresOf(scene: PictureScene): number {
    return ((scene.textures ?? this.textures)?.features ?? 0) | (scene.features ?? 0);
  }

  /** What a scene's far picture takes at most, bytes, by the share of the pixels that are drawn; null for none. */
  farBytes(scene: PictureScene, width: number, height: number): ((share: number) => number) | null {
    const textures = scene.textures ?? this.textures;
    if (!textures || !this.farPicture.standsIn(textures, scene, width, height)) return null;
    return (share) => mostFarTexels(textures.cloth, share * width * height) * BYTES_PER_TEXEL;
  }

  /** Lets go of what was made for a scene that is not drawn any more. */
  release(scene: PictureScene): void {
    this.columns.release(scene);
    this.farPicture.release(scene);
  }

  /** Another cloth beside the drawer's own, for a scene to name; the caller's to dispose of. */
  load(cloth: PackedCloth): ClothTextures {
    const textures = new ClothTextures(cloth, this.programs.uniforms);
    const far = this.fars.get(cloth);
    if (far) textures.setFar(far);
    return textures;
  }

  /**
   * @param scale picture pixels per pixel of the pose
   * @param part of the picture that is drawn before the scene is set again; all by default
   */
  setScene(scene: PictureScene, width: number, height: number, scale: number, part?: PicturePart): void {
    const u = this.programs.uniforms;
    const shown = scene.textures ?? this.textures;
    this.buffer.shown = { textures: shown, features: this.featuresOf(scene), walkAll: scene.walkAll === true };
    shown?.bind();
    placeEye(this.eye, scene.pose, height, scale);
    u.uEye.value.set(...this.eye.eye);
    u.uRight.value.set(...this.eye.right);
    u.uUp.value.set(...this.eye.up);
    u.uForward.value.set(...this.eye.forward);
    u.uMmPerPixel.value = this.eye.mmPerPixel;
    u.uTanPerPixel.value = this.eye.tanPerPixel;
    u.uRayStart.value = this.eye.rayStart;
    u.uPictureSize.value.set(width, height);
    u.uBackground.value.set(...seenBehind(scene.light, scene.background));
    u.uBackLit.value = scene.backLit ? 1 : 0;
    const pixelMm = 1 / (scene.pose.pixelsPerMm * scale);
    u.uHairFromMm.value = scene.walkAll ? 0 : pixelMm * (scene.fine ? FINE_HAIR : QUICK_HAIR);
    if (shown) u.uDepthRange.value.set(...depthRange(shown.cloth, this.eye));
    setLightUniforms(u, scene.light, this.eye.toCloth);
    this.farPicture.prepare(shown, scene, this.eye, width, height, scale, part);
    const seen = part ?? { x: 0, y: 0, width, height };
    const through = shown && !scene.walkAll && !scene.walkLight;
    // What is whole by now is not asked after again until the scene is set anew.
    let way: LightWay = 'more';
    this.makeColumns = (mostTexels) => {
      if (!through || u.uKinds.value.x > 0) return 'walk';
      if (way === 'more') {
        way = this.columns.prepare(shown, scene, this.eye, width, height, seen, mostTexels);
      }
      return way;
    };
  }

  /**
   * Some of what samples with light need besides the scene; false while there is more to do. Where it is left out, the first
   * such tile does it all at once.
   */
  prepareLight(mostTexels: number): boolean {
    this.programs.use(this.buffer.shown.features, true);
    return this.makeColumns(mostTexels) !== 'more';
  }

  /** What rays to the light take in the scene, with all that it needs at hand. */
  lightPass(): ScreenPass {
    this.programs.use(this.buffer.shown.features, true);
    const { lightColumns, lightField, lightWalk } = this.programs;
    const way = this.makeColumns(Infinity);
    return way === 'field' ? lightField : way === 'columns' ? lightColumns : lightWalk;
  }

  /**
   * One sample of one tile: picture buffer, with `lit` the rays to the light, then colour into `into`, averaged with
   * `history` at the given weight.
   */
  drawTile(
    targets: PictureTargets,
    tile: Tile,
    sample: number,
    lit: boolean,
    into: THREE.WebGLRenderTarget,
    history: THREE.WebGLRenderTarget | null,
    historyWeight: number,
  ): void {
    const u = this.programs.uniforms;
    this.buffer.draw(targets, tile, sample, false, lit);
    if (lit) {
      const pass = this.lightPass();
      const { lightWalk, lightHair } = this.programs;
      pass.draw(this.renderer, targets.light);
      if (pass === lightWalk && this.buffer.hasHair) lightHair.draw(this.renderer, targets.light);
    }
    u.uLight.value = targets.light.texture;
    u.uLit.value = lit ? 1 : 0;
    u.uHistory.value = history?.texture ?? null;
    u.uHistoryWeight.value = history ? historyWeight : 0;
    const { shade, shadeHair, hairApart } = this.programs;
    shade.draw(this.renderer, into);
    if (hairApart) shadeHair.draw(this.renderer, into);
  }

  /** Linear picture to a rectangle (from the bottom left) of the canvas or of an 8-bit target, as sRGB. */
  present(
    from: THREE.Texture,
    target: THREE.WebGLRenderTarget | null,
    width: number,
    height: number,
    x = 0,
    y = 0,
  ): void {
    const u = this.programs.uniforms;
    u.uPicture.value = from;
    u.uTargetSize.value.set(width, height);
    u.uTargetOffset.value.set(x, y);
    this.programs.present.draw(this.renderer, target);
  }

  dispose(): void {
    this.farPicture.dispose();
    this.columns.dispose();
    this.textures?.dispose();
    this.programs.dispose();
  }
}
