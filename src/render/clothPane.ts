import { vec3 } from 'gl-matrix';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import type { ClothPaneSetup, ClothPick, ClothPose, PaneRect } from './clothViewTypes.ts';
import type { DrawingState } from './drawingState.ts';
import { createEye, eyeRay, placeEye } from './eye.ts';
import { pickCloth } from './pick.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import { PictureSampler } from './pictureSampler.ts';
import type { PictureScene } from './pictureScene.ts';

/** One picture of a view: its own pose, targets and perhaps cloth; programs, light and GPU are shared. */
export class ClothPane {
  readonly sampler: PictureSampler;
  readonly scene: PictureScene;
  frame: PaneRect = { x: 0, y: 0, width: 1, height: 1 };
  clip: PaneRect | undefined;
  /** When it was last drawn to, in turns of the view. */
  drawnAt = 0;
  private otherSide = false;
  private cloth: ClothPaneSetup['cloth'];
  private lens: ClothPaneSetup['lens'];
  private pose: ClothPose;
  private walker: ClothWalker | undefined;

  constructor(
    private readonly drawer: PictureDrawer,
    scene: PictureScene,
    state: DrawingState,
    halfFloat: boolean,
  ) {
    this.scene = { ...scene };
    this.pose = scene.pose;
    this.sampler = new PictureSampler(drawer, this.scene, state, halfFloat);
  }

  /** Draws anew only where the picture itself is another. */
  arrange({ frame, clip, cloth, otherSide = false, lens }: ClothPaneSetup): void {
    const sameSize = frame.width === this.frame.width && frame.height === this.frame.height;
    this.frame = frame;
    this.clip = clip;
    const sameLens =
      lens?.closer === this.lens?.closer &&
      lens?.centreMm[0] === this.lens?.centreMm[0] &&
      lens?.centreMm[1] === this.lens?.centreMm[1];
    if (sameSize && sameLens && otherSide === this.otherSide && cloth === this.cloth) return;
    this.otherSide = otherSide;
    this.lens = lens;
    this.setPose(this.pose);
    const another = cloth !== this.cloth;
    if (another) {
      this.cloth = cloth;
      this.scene.textures?.dispose();
      this.scene.textures = cloth ? this.drawer.load(cloth) : undefined;
      this.walker = cloth ? new ClothWalker(cloth) : undefined;
    }
    if (another) this.sampler.restartOther();
    else this.sampler.restart();
  }

  /** Draws anew where it shows that cloth. */
  setFar(cloth: PackedCloth, far: FarCloth): void {
    const { textures } = this.scene;
    if ((textures?.cloth ?? this.drawer.cloth) !== cloth) return;
    textures?.setFar(far);
    this.sampler.restart();
  }

  setPose(pose: ClothPose): void {
    this.pose = pose;
    const { lens } = this;
    const turnedOver = this.otherSide ? !pose.turnedOver : pose.turnedOver;
    const near = lens && { centreMm: lens.centreMm, pixelsPerMm: pose.pixelsPerMm * lens.closer };
    this.scene.pose = { ...pose, turnedOver, ...near };
  }

  get isLens(): boolean {
    return this.lens !== undefined;
  }

  /** Whether a point of the canvas (device pixels from its top left) shows this picture. */
  holds(x: number, y: number): boolean {
    const { clip, frame } = this;
    return within(frame, x, y) && (clip === undefined || within(clip, x, y));
  }

  pick(x: number, y: number, viewWalker: ClothWalker | null): ClothPick | null {
    const walker = this.cloth === undefined ? viewWalker : this.walker;
    if (!walker) return null;
    const { frame } = this;
    const eye = createEye();
    placeEye(eye, this.scene.pose, frame.height, 1);
    const origin = vec3.create();
    const direction = vec3.create();
    eyeRay(origin, direction, eye, x - frame.x - frame.width / 2, frame.height / 2 - (y - frame.y));
    return pickCloth(walker, origin, direction, eye.rayStart);
  }

  hasCloth(): boolean {
    return this.cloth === undefined ? this.drawer.hasCloth : this.cloth !== null;
  }

  /** Shows what there is; false where that is nothing. */
  show(canvasHeight: number): boolean {
    const { frame, clip } = this;
    const { renderer } = this.drawer;
    const seen = clip ? overlap(frame, clip) : frame;
    if (seen.width < 1 || seen.height < 1) return true;
    const ratio = renderer.getPixelRatio();
    renderer.setScissor(
      seen.x / ratio,
      (canvasHeight - seen.y - seen.height) / ratio,
      seen.width / ratio,
      seen.height / ratio,
    );
    return this.sampler.show(frame.x, canvasHeight - frame.y - frame.height, frame.width, frame.height);
  }

  dispose(): void {
    this.sampler.dispose();
    this.drawer.release(this.scene);
    this.scene.textures?.dispose();
    this.scene.textures = undefined;
  }
}

function within(rect: PaneRect, x: number, y: number): boolean {
  return x >= rect.x && y >= rect.y && x < rect.x + rect.width && y < rect.y + rect.height;
}

function overlap(a: PaneRect, b: PaneRect): PaneRect {
  const x = Math.max(a.x, b.x);
  const y = Math.max(a.y, b.y);
  return {
    x,
    y,
    width: Math.min(a.x + a.width, b.x + b.width) - x,
    height: Math.min(a.y + a.height, b.y + b.height) - y,
  };
}
