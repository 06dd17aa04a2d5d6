import { vec3 } from 'gl-matrix';
import * as THREE from 'three';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { captureCloth, readBuffers } from './capture.ts';
import type {
  CaptureResult,
  ClothLight,
  ClothPick,
  ClothPose,
  ClothViewApi,
  ClothViewOptions,
  PictureBuffers,
  StepResult,
} from './clothViewTypes.ts';
import { createEye, eyeRay, FACE_POSE, placeEye } from './eye.ts';
import { fitPose } from './fitPose.ts';
import { GpuTimer } from './gpuTimer.ts';
import { NORTH_LIGHT } from './lightUniforms.ts';
import { pickCloth } from './pick.ts';
import { bufferSize, PictureDrawer, type PictureScene, withRenderer } from './pictureDrawer.ts';
import { PictureTargets } from './pictureTargets.ts';
import type { ScreenPass } from './screenPass.ts';
import { TileSchedule } from './tileSchedule.ts';

/** At most this many picture pixels; a larger canvas is enlarged from it. */
const MOST_PIXELS = 4e6;
/** Full samples taken before they replace the quick picture: fewer would flicker. */
const SHOW_AFTER = 4;
/** Samples of the quick picture while the full program compiles. */
const QUICK_SAMPLES = 8;
/** While moving, the whole picture should take no longer than this. */
const MOVING_MS = 20;
const LEAST_MOVING_SCALE = 0.35;

/**
 * Draws a packed cloth with a renderer that may be shared with others. Nothing is drawn outside `step` and `capture`.
 * Order of work after each change: a quick picture (no secondary rays), then full samples until settled.
 */
export class ClothView implements ClothViewApi {
  private readonly drawer: PictureDrawer;
  private readonly schedule = new TileSchedule();
  private readonly timer: GpuTimer;
  private readonly scene: PictureScene;
  private readonly canvas: HTMLCanvasElement;
  private walker: ClothWalker | null = null;
  private targets: PictureTargets | null = null;
  private wantedSamples: number;
  private width = 1;
  private height = 1;
  private moving = false;
  private movingScale = 1;
  private lost = false;
  private disposed = false;
  private capturing = false;
  private readonly ready = { quick: false, full: false };
  private compiling = false;
  private phase: 'quick' | 'waiting' | 'full' | 'settled' = 'quick';
  private sample = 0;
  private tileOpen = false;
  private shown: 'nothing' | 'quick' | 'mean' = 'nothing';
  private passBegun = 0;
  private drawnWith: ScreenPass | null = null;
  /** The last draw was its program's first, so its time may hold the compiler's. */
  private fresh = false;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly options: ClothViewOptions = {},
  ) {
    this.drawer = new PictureDrawer(renderer);
    this.timer = new GpuTimer(renderer.getContext() as WebGL2RenderingContext);
    this.canvas = renderer.domElement;
    this.wantedSamples = options.samples ?? 64;
    this.scene = {
      pose: FACE_POSE,
      light: { ...NORTH_LIGHT, ...options.light },
      background: options.background ?? [0.2, 0.2, 0.2],
      backLit: options.backLit ?? false,
    };
    if (options.onShaderError) {
      const report = options.onShaderError;
      renderer.debug.onShaderError = (gl, program, vertex, fragment) => {
        const logs = [gl.getProgramInfoLog(program), gl.getShaderInfoLog(vertex), gl.getShaderInfoLog(fragment)];
        report(this.drawer.programs.explain(logs.filter(Boolean).join('\n')));
      };
    }
    this.canvas.addEventListener('webglcontextlost', this.handleLost);
    this.canvas.addEventListener('webglcontextrestored', this.handleRestored);
    const size = bufferSize(renderer);
    this.setSize(size.x, size.y);
  }

  get pose(): ClothPose {
    return this.scene.pose;
  }

  setCloth(cloth: PackedCloth | null): void {
    this.drawer.setCloth(cloth);
    this.walker = cloth ? new ClothWalker(cloth) : null;
    this.restart();
  }

  setView(pose: Partial<ClothPose>): void {
    this.scene.pose = { ...this.scene.pose, ...pose };
    this.restart();
  }

  setLight(light: Partial<ClothLight>): void {
    this.scene.light = { ...this.scene.light, ...light };
    this.restart();
  }

  setOptions(options: Pick<ClothViewOptions, 'background' | 'backLit' | 'samples'>): void {
    if (options.background) this.scene.background = options.background;
    if (options.backLit !== undefined) this.scene.backLit = options.backLit;
    if (options.samples !== undefined) this.wantedSamples = options.samples;
    this.restart();
  }

  setSize(width: number, height: number): void {
    const w = Math.max(1, Math.round(width));
    const h = Math.max(1, Math.round(height));
    if (w === this.width && h === this.height) return;
    this.width = w;
    this.height = h;
    this.restart();
  }

  setMoving(moving: boolean): void {
    if (moving === this.moving) return;
    this.moving = moving;
    this.restart();
  }

  fitPose(): ClothPose {
    const cloth = this.walker?.cloth;
    return cloth ? fitPose(cloth.bounds, this.scene.pose, this.width, this.height) : this.scene.pose;
  }

  step(): StepResult {
    if (this.disposed || this.lost || this.capturing) return 'settled';
    return withRenderer(this.renderer, () => this.stepInside());
  }

  private stepInside(): StepResult {
    if (!this.drawer.hasCloth) {
      this.clear();
      return 'settled';
    }
    if (this.phase === 'settled') {
      this.show();
      return 'settled';
    }
    if (!this.compileWhatIsNeeded() || !this.timer.isDone()) {
      this.show();
      return 'more';
    }
    this.learn();
    if (this.phase === 'waiting' && this.ready.full) {
      this.phase = 'full';
      this.sample = 0;
      this.shown = 'quick';
    }
    if (this.phase !== 'waiting') {
      if (!this.tileOpen) this.beginPass();
      this.drawTile();
    }
    this.show();
    return 'more';
  }

  pick(x: number, y: number): ClothPick | null {
    if (!this.walker) return null;
    const eye = createEye();
    placeEye(eye, this.scene.pose, this.height, 1);
    const origin = vec3.create();
    const direction = vec3.create();
    eyeRay(origin, direction, eye, x - this.width / 2, this.height / 2 - y);
    return pickCloth(this.walker, origin, direction, eye.rayStart);
  }

  /** Draws at any size, in tiles, apart from the canvas; the pose keeps its middle and scale. */
  async capture(width: number, height: number, samples: number): Promise<CaptureResult> {
    this.capturing = true;
    try {
      await this.timer.whenDone();
      return await captureCloth(this.drawer, this.scene, width, height, samples, this.halfFloat);
    } finally {
      this.capturing = false;
      this.restart();
    }
  }

  /** Ids, depths and normals of the picture as posed, at a size of up to a few hundred pixels. For checks. */
  async readBuffers(width: number, height: number): Promise<PictureBuffers> {
    await this.timer.whenDone();
    const { walker } = this;
    if (!walker) throw new Error('view: no cloth is set; call setCloth first');
    return readBuffers(this.drawer, this.scene, width, height, this.halfFloat, walker.cloth.extraTable);
  }

  dispose(): void {
    this.disposed = true;
    this.canvas.removeEventListener('webglcontextlost', this.handleLost);
    this.canvas.removeEventListener('webglcontextrestored', this.handleRestored);
    this.targets?.dispose();
    this.drawer.dispose();
  }

  private get halfFloat(): boolean {
    const gl = this.renderer.getContext();
    const float = this.options.limits !== 'low' && gl.getExtension('EXT_color_buffer_float') !== null;
    return (
      float ||
      gl.getExtension('EXT_color_buffer_half_float') !== null ||
      gl.getExtension('EXT_color_buffer_float') !== null
    );
  }

  private restart(): void {
    this.phase = 'quick';
    this.sample = 0;
    this.tileOpen = false;
  }

  /** No cloth: the bench alone. */
  private clear(): void {
    const [r, g, b] = this.scene.background;
    const colour = this.renderer.getClearColor(new THREE.Color());
    const alpha = this.renderer.getClearAlpha();
    this.renderer.setRenderTarget(null);
    this.renderer.setClearColor(new THREE.Color().setRGB(r, g, b), 1);
    this.renderer.clear();
    this.renderer.setClearColor(colour, alpha);
  }

  /** Starts compiling what the next pass needs; true where it can be drawn now. */
  private compileWhatIsNeeded(): boolean {
    const { programs } = this.drawer;
    const targets = this.sizedTargets();
    if (!this.ready.quick) {
      this.compile('quick', [
        programs.quickWalk.compile(this.renderer, targets.buffer),
        programs.shade.compile(this.renderer, targets.quick),
        programs.present.compile(this.renderer, null),
      ]);
    } else if (!this.ready.full && !this.moving) {
      this.compile('full', [programs.fullWalk.compile(this.renderer, targets.buffer)]);
    }
    return this.ready.quick;
  }

  private compile(which: 'quick' | 'full', parts: Promise<void>[]): void {
    // Without parallel compiling there is nothing to wait for: the first draw compiles.
    if (this.options.limits === 'low') this.ready[which] = true;
    if (this.compiling || this.ready[which]) return;
    this.compiling = true;
    Promise.all(parts).finally(() => {
      this.compiling = false;
      if (!this.disposed) this.ready[which] = true;
    });
  }

  /** Targets of the size that the pass wants; a change of size begins anew. */
  private sizedTargets(): PictureTargets {
    const scale = this.pictureScale();
    const width = Math.max(1, Math.round(this.width * scale));
    const height = Math.max(1, Math.round(this.height * scale));
    if (this.targets && this.targets.width === width && this.targets.height === height) return this.targets;
    this.targets?.dispose();
    this.targets = new PictureTargets(width, height, this.halfFloat);
    this.shown = 'nothing';
    this.restart();
    return this.targets;
  }

  private pictureScale(): number {
    const most = Math.min(1, Math.sqrt(MOST_PIXELS / (this.width * this.height)));
    return this.moving ? most * this.movingScale : most;
  }

  private beginPass(): void {
    const targets = this.sizedTargets();
    this.schedule.begin(targets.width, targets.height);
    this.passBegun = performance.now();
    this.tileOpen = true;
  }

  private drawTile(): void {
    const targets = this.sizedTargets();
    const { programs } = this.drawer;
    const { tile } = this.schedule;
    const begun = performance.now();
    this.drawer.setScene(this.scene, targets.width, targets.height, targets.height / this.height);
    const full = this.phase === 'full';
    const into = full || this.sample > 0 ? targets.meanToBe : targets.quick;
    const history = full ? targets.meanSoFar : this.sample === 1 ? targets.quick : targets.meanSoFar;
    const walk = full ? programs.fullWalk : programs.quickWalk;
    this.drawer.drawTile(targets, walk, tile, this.sample, into, history, this.sample / (this.sample + 1));
    this.timer.mark(begun, tile.width * tile.height);
    this.fresh = this.drawnWith !== walk;
    this.drawnWith = walk;
    if (this.schedule.next()) {
      if (this.phase === 'quick' && this.sample === 0 && this.shown === 'nothing') this.shown = 'quick';
      return;
    }
    this.tileOpen = false;
    if (into !== targets.quick) targets.swap();
    this.sample++;
    this.endSample();
  }

  /** What follows a complete sample. */
  private endSample(): void {
    if (this.phase === 'full') {
      if (this.sample >= Math.min(SHOW_AFTER, this.wantedSamples)) this.shown = 'mean';
      if (this.sample >= this.wantedSamples) this.phase = 'settled';
      return;
    }
    this.shown = this.sample === 1 ? 'quick' : 'mean';
    if (this.moving) {
      this.adaptMoving(performance.now() - this.passBegun);
      this.phase = 'settled';
    } else if (this.ready.full) {
      this.phase = 'full';
      this.sample = 0;
      // The mean is about to be drawn over; the quick picture stands in meanwhile.
      this.shown = 'quick';
    } else if (this.sample >= QUICK_SAMPLES) {
      this.phase = 'waiting';
    }
  }

  /** Fewer pixels while a whole picture takes too long, more when there is time. */
  private adaptMoving(elapsedMs: number): void {
    if (elapsedMs > 2 * MOVING_MS) this.movingScale = Math.max(LEAST_MOVING_SCALE, this.movingScale * 0.8);
    else if (elapsedMs < MOVING_MS) this.movingScale = Math.min(1, this.movingScale * 1.1);
  }

  private learn(): void {
    const took = this.timer.take();
    if (took && !this.fresh) this.schedule.learn(took.pixels, took.elapsedMs);
  }

  private show(): void {
    const { targets } = this;
    if (!targets || this.shown === 'nothing') {
      this.clear();
      return;
    }
    const from = this.shown === 'quick' ? targets.quick : targets.meanSoFar;
    this.drawer.present(from.texture, null, this.width, this.height);
  }

  private readonly handleLost = (event: Event): void => {
    event.preventDefault();
    this.lost = true;
    this.timer.drop();
    this.options.onLost?.();
  };

  private readonly handleRestored = (): void => {
    this.lost = false;
    this.ready.quick = false;
    this.ready.full = false;
    this.compiling = false;
    this.drawnWith = null;
    this.targets?.dispose();
    this.targets = null;
    this.shown = 'nothing';
    this.restart();
    this.options.onRestored?.();
  };
}
