import type * as THREE from 'three';
import type { ClothPose } from './clothViewTypes.ts';
import type { DrawingState } from './drawingState.ts';
import { FACE_POSE } from './eye.ts';
import { EyeBlur } from './eyeBlur.ts';
import { eyeSpreadPx } from './eyeSpread.ts';
import { seenBehind } from './lightUniforms.ts';
import { movedPicture } from './movedPicture.ts';
import { MovingScale } from './movingScale.ts';
import { FINE_FROM, type PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { PictureTargets } from './pictureTargets.ts';
import { fillTarget } from './renderer.ts';
import { TileSchedule } from './tileSchedule.ts';

/** Full samples of a settled picture where none are asked for. */
const SAMPLES = 64;
/** Where those took no longer than this, noise is taken further down: to half. */
const QUICK_MS = 2500;
const FINE_SAMPLES = 256;
/** Full samples taken before they replace the quick picture: fewer would flicker. */
const SHOW_AFTER = 4;
/** Samples of the quick picture while the full program compiles. */
const QUICK_SAMPLES = 8;
/** A quick picture that took longer than this is preceded by a coarse one that takes about as long, of between these shares of its pixels on a side. */
const SLOW_MS = 1000;
const COARSE = 0.35;
const COARSEST = 0.15;

/**
 * Brings a picture from nothing to settled, one tile a step: first quickly (no secondary rays), then sample upon sample
 * with all light, as programs become ready.
 */
export class PictureSampler {
  /** Full samples until settled; left out, as many as the GPU takes in good time. */
  samples: number | undefined;
  moving = false;
  /** Picture pixels to one of the canvas, at rest: less than 1 where all pictures together would take too much memory. */
  mostScale = 1;
  /** How far off the cloth is held, as the eye's spread has it, mm; undefined for as near as drawn. */
  heldAtMm: number | undefined;
  private readonly schedule = new TileSchedule();
  private targets: PictureTargets | null = null;
  private readonly movingScale = new MovingScale();
  private phase: 'quick' | 'waiting' | 'full' | 'settled' = 'quick';
  private sample = 0;
  private wanted = SAMPLES;
  private fullBegun = 0;
  private tileOpen = false;
  private shown: 'nothing' | 'quick' | 'mean' = 'nothing';
  /** The last whole picture of another number of pixels or another canvas, until there is one of this. */
  private standIn: THREE.WebGLRenderTarget | null = null;
  /** Of the last whole picture. */
  private wholePose: ClothPose = FACE_POSE;
  private wholeCanvas = { width: 0, height: 0 };
  /** Whether the last whole picture is of the cloth before. */
  private ofEarlier = false;
  private canvas = { width: 0, height: 0 };
  /** What a quick picture at rest takes; until one is drawn, as much as asks for a coarse one. */
  private quickMs = SLOW_MS / COARSE ** 2;
  /** Share of its pixels on a side that the picture now drawn has; 1: not coarse. */
  private coarse = COARSE;
  private passBegun = 0;
  /** Goes up with everything that is drawn. */
  private version = 0;
  private readonly blur: EyeBlur;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly scene: PictureScene,
    private readonly state: DrawingState,
    private readonly halfFloat: boolean,
  ) {
    this.blur = new EyeBlur(drawer, halfFloat);
  }

  get settled(): boolean {
    return this.phase === 'settled';
  }

  /** How far this picture has come, for turns among several: samples done, those with all light counted after all others. */
  get progress(): number {
    if (this.phase === 'full' || this.phase === 'settled') return QUICK_SAMPLES + 1 + this.sample;
    return this.phase === 'waiting' ? QUICK_SAMPLES : this.sample;
  }

  /** Whether what is shown is the cloth before, until the first picture of this one is whole. */
  get showsEarlier(): boolean {
    return this.ofEarlier && this.targets !== null && (this.whole(this.targets) ?? this.standIn) !== null;
  }

  /** Begins anew with another cloth. */
  restartOther(): void {
    this.ofEarlier = true;
    this.restart();
  }

  restart(): void {
    this.coarse = 1;
    if (!this.moving && this.quickMs > SLOW_MS) {
      this.coarse = Math.min(COARSE, Math.max(COARSEST, Math.sqrt(SLOW_MS / this.quickMs)));
    }
    this.begin();
  }

  /** Forgets what a lost context took. */
  forget(): void {
    this.dispose();
    this.shown = 'nothing';
    this.restart();
  }

  /** One tile, if the GPU and the programs are ready for it. Size in device pixels. */
  advance(width: number, height: number): void {
    const targets = this.sizedTargets(width, height);
    const { drawer, scene, state } = this;
    if (this.settled || !state.compile(targets, !this.moving, drawer.featuresOf(scene)) || !state.timer.isDone())
      return;
    const took = state.measured();
    if (took) this.schedule.learn(took.pixels, took.elapsedMs);
    if (took && this.phase === 'quick') this.movingScale.learn(took, width * height * this.mostScale ** 2);
    if (this.phase === 'waiting') {
      if (!this.fullReady) return;
      this.beginFull();
    }
    if (!this.tileOpen) {
      this.schedule.begin(targets.width, targets.height);
      this.passBegun = performance.now();
      this.tileOpen = true;
      // What is not drawn yet is background: never two pictures in one.
      if (this.firstQuick) fillTarget(drawer.renderer, targets.quickToBe, seenBehind(scene.light, scene.background));
    }
    this.drawTile(targets, targets.height / height);
  }

  /** The picture so far onto the canvas, at a place from its bottom left; false where there is none. */
  show(x: number, y: number, width: number, height: number): boolean {
    const { targets } = this;
    if (!targets) return false;
    const whole = this.whole(targets) ?? this.standIn;
    const growing = this.firstQuick && this.tileOpen && !whole;
    const from = growing ? targets.quickToBe : whole;
    if (!from) return false;
    const now = this.scene.pose;
    const pose = growing ? now : this.wholePose;
    const canvas = growing ? { width, height } : this.wholeCanvas;
    const pixelsPerMm = (pose.pixelsPerMm * from.height) / canvas.height;
    const sigma = this.heldAtMm === undefined ? 0 : eyeSpreadPx(this.heldAtMm, pixelsPerMm);
    const seen = this.blur.spread(from.texture, from.width, from.height, this.version, sigma);
    // A whole picture of where the cloth was goes along with it until there is one of where it is.
    const at = movedPicture(pose, now, width, height, canvas);
    this.drawer.present(seen, null, at.width, at.height, x + at.x, y + at.y);
    return true;
  }

  dispose(): void {
    this.blur.dispose();
    this.targets?.dispose();
    this.targets = null;
    this.stand(null);
  }

  private begin(): void {
    this.phase = 'quick';
    this.sample = 0;
    this.tileOpen = false;
  }

  /** The last whole picture of these targets, if there is one. */
  private whole(targets: PictureTargets): THREE.WebGLRenderTarget | null {
    if (this.shown === 'nothing') return null;
    return this.shown === 'quick' ? targets.quick : targets.meanSoFar;
  }

  private stand(picture: THREE.WebGLRenderTarget | null): void {
    this.standIn?.dispose();
    this.standIn = picture;
  }

  private get fullReady(): boolean {
    return this.state.fullReady(this.drawer.featuresOf(this.scene));
  }

  /** The first sample of the quick picture, which stands alone. */
  private get firstQuick(): boolean {
    return this.phase === 'quick' && this.sample === 0;
  }

  /** Targets of the size that the pass wants; a change of size begins anew, and the last picture stands in. */
  private sizedTargets(canvasWidth: number, canvasHeight: number): PictureTargets {
    const { targets } = this;
    const scale = this.mostScale * (this.moving ? this.movingScale.scale : this.coarse);
    const width = Math.max(1, Math.round(canvasWidth * scale));
    const height = Math.max(1, Math.round(canvasHeight * scale));
    if (targets && targets.width === width && targets.height === height) return targets;
    const last = targets && this.whole(targets);
    if (last) this.stand(last);
    targets?.dispose(this.standIn ?? undefined);
    this.canvas = { width: canvasWidth, height: canvasHeight };
    this.targets = new PictureTargets(width, height, this.halfFloat);
    this.shown = 'nothing';
    this.begin();
    return this.targets;
  }

  private drawTile(targets: PictureTargets, scale: number): void {
    const { state } = this;
    const { tile } = this.schedule;
    const begun = state.timer.begin();
    const full = this.phase === 'full';
    this.scene.fine = full && this.wanted >= FINE_FROM;
    this.drawer.setScene(this.scene, targets.width, targets.height, scale);
    const pixels = tile.width * tile.height;
    if (full && !this.drawer.prepareLight(pixels)) {
      state.mark(begun, pixels, full);
      return;
    }
    const into = this.firstQuick ? targets.quickToBe : targets.meanToBe;
    const history = !full && this.sample === 1 ? targets.quick : targets.meanSoFar;
    this.drawer.drawTile(targets, tile, this.sample, full, into, history, this.sample / (this.sample + 1));
    this.version++;
    state.mark(begun, pixels, full);
    if (this.schedule.next()) return;
    this.tileOpen = false;
    if (this.firstQuick) targets.swapQuick();
    else targets.swap();
    this.sample++;
    this.endSample();
  }

  private beginFull(): void {
    this.phase = 'full';
    this.sample = 0;
    this.wanted = this.samples ?? SAMPLES;
    this.fullBegun = performance.now();
    // The mean is about to be drawn over; the quick picture stands in meanwhile.
    this.shown = 'quick';
  }

  /** What follows a complete sample. */
  private endSample(): void {
    if (this.phase === 'full') {
      if (this.sample >= Math.min(SHOW_AFTER, this.wanted)) this.shown = 'mean';
      const quick = performance.now() - this.fullBegun < QUICK_MS;
      if (this.samples === undefined && this.sample === SAMPLES && quick) this.wanted = FINE_SAMPLES;
      if (this.sample >= this.wanted) this.phase = 'settled';
      return;
    }
    this.shown = this.sample === 1 ? 'quick' : 'mean';
    this.wholePose = this.scene.pose;
    this.wholeCanvas = this.canvas;
    this.ofEarlier = false;
    this.stand(null);
    const took = performance.now() - this.passBegun;
    if (this.sample === 1 && !this.moving) this.quickMs = took / this.coarse ** 2;
    if (this.moving || this.quickMs > SLOW_MS) this.movingScale.learnPass(took);
    if (this.moving) {
      this.phase = 'settled';
    } else if (this.coarse < 1) {
      this.coarse = 1;
      this.begin();
    } else if (this.fullReady) this.beginFull();
    else if (this.sample >= QUICK_SAMPLES) this.phase = 'waiting';
  }
}
