import * as THREE from 'three';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { captureCloth, readBuffers } from './capture.ts';
import { captureReference } from './captureReference.ts';
import type {
  CaptureOptions,
  CaptureResult,
  ClothLight,
  ClothPaneSetup,
  ClothPick,
  ClothPose,
  ClothViewApi,
  ClothViewOptions,
  PictureBuffers,
  StepResult,
} from './clothViewTypes.ts';
import { DrawingState } from './drawingState.ts';
import { FACE_POSE } from './eye.ts';
import { fitPose } from './fitPose.ts';
import { NORTH_LIGHT, seenBehind } from './lightUniforms.ts';
import { PaneSet } from './paneSet.ts';
import { PathTracer, type TraceOptions } from './pathTracer.ts';
import { PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { bufferSize, withRenderer } from './renderer.ts';
import { type CardOrder, WoundCards } from './woundCards.ts';

/** The mark in the browser's timeline of the first cloth that a page shows. */
export const FIRST_CLOTH = 'first cloth';

/**
 * Draws a packed cloth with a renderer that may be shared with others. Nothing is drawn outside `step`, `capture` and
 * `readBuffers`. After each change: a quick picture, then full samples until settled.
 */
export class ClothView implements ClothViewApi {
  private readonly drawer: PictureDrawer;
  private readonly state: DrawingState;
  private readonly scene: PictureScene;
  private readonly panes: PaneSet;
  private readonly cards: WoundCards;
  private readonly canvas: HTMLCanvasElement;
  private walker: ClothWalker | null = null;
  private width: number;
  private height: number;
  private lost = false;
  private disposed = false;
  private capturing = false;
  private marked = false;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly options: ClothViewOptions = {},
  ) {
    this.drawer = new PictureDrawer(renderer, options.countWork);
    this.canvas = renderer.domElement;
    this.scene = {
      pose: FACE_POSE,
      light: { ...NORTH_LIGHT, ...options.light },
      background: options.background ?? [0.2, 0.2, 0.2],
      backLit: options.backLit ?? false,
    };
    this.state = new DrawingState(this.drawer, options.limits ?? 'full');
    this.panes = new PaneSet(this.drawer, this.scene, this.state, canDrawHalfFloat(renderer));
    this.cards = new WoundCards(this.drawer, this.state, this.panes.halfFloat);
    this.panes.samples = options.samples;
    this.panes.heldAtMm = options.heldAtMm ?? null;
    this.drawer.programs.uniforms.uLightnessOnly.value = options.lightnessOnly ? 1 : 0;
    if (options.onShaderError) this.reportShaderErrors(options.onShaderError);
    this.canvas.addEventListener('webglcontextlost', this.handleLost);
    this.canvas.addEventListener('webglcontextrestored', this.handleRestored);
    const size = bufferSize(renderer);
    this.width = size.x;
    this.height = size.y;
    this.panes.setSize(this.width, this.height);
  }

  get pose(): ClothPose {
    return this.scene.pose;
  }

  setCloth(cloth: PackedCloth | null, finer = false): void {
    this.drawer.setCloth(cloth);
    this.walker = cloth ? new ClothWalker(cloth) : null;
    this.panes.restartShared(finer);
  }

  setFar(cloth: PackedCloth, far: FarCloth): void {
    if (this.drawer.farOf(cloth) === far) return;
    this.drawer.setFar(cloth, far);
    this.panes.setFar(cloth, far);
  }

  setView(pose: Partial<ClothPose>): void {
    this.scene.pose = { ...this.scene.pose, ...pose };
    this.panes.restart();
  }

  setLight(light: Partial<ClothLight>): void {
    this.scene.light = { ...this.scene.light, behindCloth: false, ...light };
    this.panes.restart();
  }

  setOptions(options: Pick<ClothViewOptions, 'background' | 'backLit' | 'samples'>): void {
    if (options.background) this.scene.background = options.background;
    if (options.backLit !== undefined) this.scene.backLit = options.backLit;
    if (options.samples !== undefined) this.panes.samples = options.samples;
    this.panes.restart();
  }

  setLook({ heldAtMm, lightnessOnly }: Pick<ClothViewOptions, 'heldAtMm' | 'lightnessOnly'>): void {
    if (heldAtMm !== undefined) this.panes.heldAtMm = heldAtMm;
    if (lightnessOnly !== undefined) this.drawer.programs.uniforms.uLightnessOnly.value = lightnessOnly ? 1 : 0;
    this.panes.share();
  }

  setSize(width: number, height: number): void {
    this.width = Math.max(1, Math.round(width));
    this.height = Math.max(1, Math.round(height));
    this.panes.setSize(this.width, this.height);
  }

  setPanes(panes: readonly ClothPaneSetup[]): void {
    this.panes.setPanes(panes);
  }

  setMoving(moving: boolean): void {
    if (moving === this.panes.moving) return;
    this.panes.moving = moving;
    this.panes.restart();
  }

  fitPose(): ClothPose {
    const cloth = this.walker?.cloth;
    return cloth ? fitPose(cloth.bounds, this.scene.pose, this.width, this.height) : this.scene.pose;
  }

  step(): StepResult {
    if (this.disposed || this.lost || this.capturing) return 'settled';
    return withRenderer(this.renderer, () => {
      this.panes.advance();
      const shown = this.panes.show(() => this.clear());
      if (shown && !this.marked) performance.mark(FIRST_CLOTH);
      this.marked ||= shown;
      return this.panes.progress;
    });
  }

  /** Whether the canvas still shows the cloth before the one that was set, for want of a whole picture of it. */
  get showsEarlier(): boolean {
    return this.panes.showsEarlier;
  }

  /** Whether a small picture may be ordered: one is drawn at a time. */
  get takesCard(): boolean {
    return !this.cards.busy && !this.disposed && !this.lost;
  }

  orderCard(order: CardOrder): void {
    this.cards.take(order);
  }

  /** One slice of the picture ordered, for when the cloth is settled; false once nothing is left to ask for. */
  stepCard(): boolean {
    return !this.disposed && !this.lost && !this.capturing && this.cards.step();
  }

  pick(x: number, y: number): ClothPick | null {
    return this.panes.at(x, y)?.pick(x, y, this.walker) ?? null;
  }

  /**
   * Draws at any size, in tiles, apart from the canvas; the pose keeps its middle and scale.
   * @throws the signal's reason where it is stopped, or an error where the graphics context is lost meanwhile
   */
  async capture(width: number, height: number, samples: number, options: CaptureOptions = {}): Promise<CaptureResult> {
    if (!this.walker) throw new Error('picture: there is no cloth to draw; set one first');
    this.capturing = true;
    try {
      await this.state.timer.whenDone();
      if (options.reference) {
        return await captureReference(this.drawer, this.scene, width, height, samples, options);
      }
      return await captureCloth(this.drawer, this.scene, width, height, samples, this.panes.halfFloat, options);
    } finally {
      this.capturing = false;
      this.panes.restart();
      this.options.onRestored?.();
    }
  }

  /**
   * The reference picture as posed, path by path: it takes samples, stops and goes on as asked, and is the caller's to
   * dispose of. Up to 4 MP; larger ones by `capture`.
   */
  traceReference(width: number, height: number, options: TraceOptions = {}): PathTracer {
    if (!this.walker) throw new Error('picture: there is no cloth to draw; set one first');
    const frame = { pictureWidth: width, pictureHeight: height, x: 0, y: 0, width, height };
    return new PathTracer(this.drawer, this.scene, frame, options);
  }

  /** Ids, depths and normals of the picture as posed, at a size of up to a few hundred pixels. For checks. */
  async readBuffers(width: number, height: number): Promise<PictureBuffers> {
    const { walker } = this;
    if (!walker) throw new Error('picture: there is no cloth to draw; set one first');
    await this.state.timer.whenDone();
    return readBuffers(this.drawer, this.scene, width, height, this.panes.halfFloat, walker.cloth.extraTable);
  }

  dispose(): void {
    this.disposed = true;
    this.canvas.removeEventListener('webglcontextlost', this.handleLost);
    this.canvas.removeEventListener('webglcontextrestored', this.handleRestored);
    this.cards.dispose();
    this.panes.dispose();
    this.state.dispose();
    this.drawer.dispose();
  }

  /** No picture yet: the bench alone. */
  private clear(): void {
    const [r, g, b] = seenBehind(this.scene.light, this.scene.background);
    const colour = this.renderer.getClearColor(new THREE.Color());
    const alpha = this.renderer.getClearAlpha();
    this.renderer.setRenderTarget(null);
    this.renderer.setClearColor(new THREE.Color().setRGB(r, g, b), 1);
    this.renderer.clear();
    this.renderer.setClearColor(colour, alpha);
  }

  private reportShaderErrors(report: (log: string) => void): void {
    this.renderer.debug.onShaderError = (gl, program, vertex, fragment) => {
      const logs = [gl.getProgramInfoLog(program), gl.getShaderInfoLog(vertex), gl.getShaderInfoLog(fragment)];
      report(this.drawer.programs.explain(logs.filter(Boolean).join('\n')));
    };
  }

  private readonly handleLost = (event: Event): void => {
    event.preventDefault();
    this.lost = true;
    this.state.timer.drop();
    this.options.onLost?.();
  };

  private readonly handleRestored = (): void => {
    this.lost = false;
    this.panes.forget();
    this.cards.forget();
    this.options.onRestored?.();
  };
}

/** Half-float targets come with either extension; without, means are kept in 8 bits. */
function canDrawHalfFloat(renderer: THREE.WebGLRenderer): boolean {
  const gl = renderer.getContext();
  return gl.getExtension('EXT_color_buffer_half_float') !== null || gl.getExtension('EXT_color_buffer_float') !== null;
}
