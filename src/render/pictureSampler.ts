import type { ClothViewOptions } from './clothViewTypes.ts';
import { GpuTimer } from './gpuTimer.ts';
import { seenBehind } from './lightUniforms.ts';
import type { PictureDrawer, PictureScene } from './pictureDrawer.ts';
import { PictureTargets } from './pictureTargets.ts';
import { TileSchedule } from './tileSchedule.ts';

/** At most this many picture pixels; a larger canvas is enlarged from it. */
const MOST_PIXELS = 4e6;
/** Full samples taken before they replace the quick picture: fewer would flicker. */
const SHOW_AFTER = 4;
/** Samples of the quick picture while the full program compiles. */
const QUICK_SAMPLES = 8;
/** A quick picture that takes longer than this is watched as it grows; until then the last whole one stands. */
const GROWING_AFTER_MS = 400;
/** While moving, the whole picture should take no longer than this. */
const MOVING_MS = 20;
/** Scales of the moving picture: few, since each change of size makes new targets. */
const MOVING_SCALES = [1, 0.7, 0.5, 0.35];

/**
 * Brings a picture from nothing to settled, one tile a step: first quickly (no secondary rays), then sample upon sample
 * with all light, as programs become ready.
 */
export class PictureSampler {
  readonly timer: GpuTimer;
  samples = 64;
  moving = false;
  private readonly schedule = new TileSchedule();
  private targets: PictureTargets | null = null;
  private movingScale = 0;
  private readonly ready = { quick: false, full: false };
  private compiling = false;
  /** Counts lost contexts, so that a compilation begun before one is not believed after it. */
  private context = 0;
  private phase: 'quick' | 'waiting' | 'full' | 'settled' = 'quick';
  private sample = 0;
  private tileOpen = false;
  private shown: 'nothing' | 'quick' | 'mean' = 'nothing';
  private passBegun = 0;
  private drawnFull: boolean | null = null;
  /** The last draw was its program's first, so its time may hold the compiler's. */
  private fresh = false;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly scene: PictureScene,
    private readonly limits: NonNullable<ClothViewOptions['limits']>,
    readonly halfFloat: boolean,
  ) {
    this.timer = new GpuTimer(drawer.renderer.getContext() as WebGL2RenderingContext);
  }

  get settled(): boolean {
    return this.phase === 'settled';
  }

  restart(): void {
    this.phase = 'quick';
    this.sample = 0;
    this.tileOpen = false;
  }

  /** Forgets what a lost context took. */
  forget(): void {
    this.context++;
    this.timer.drop();
    this.ready.quick = false;
    this.ready.full = false;
    this.compiling = false;
    this.drawnFull = null;
    this.targets?.dispose();
    this.targets = null;
    this.shown = 'nothing';
    this.restart();
  }

  /** One tile, if the GPU and the programs are ready for it. Size in device pixels. */
  advance(width: number, height: number): void {
    const targets = this.sizedTargets(width, height);
    if (this.settled || !this.compileWhatIsNeeded(targets) || !this.timer.isDone()) return;
    const took = this.timer.take();
    if (took && !this.fresh) this.schedule.learn(took.pixels, took.elapsedMs);
    if (this.phase === 'waiting') {
      if (!this.ready.full) return;
      this.beginFull();
    }
    if (!this.tileOpen) {
      this.schedule.begin(targets.width, targets.height);
      this.passBegun = performance.now();
      this.tileOpen = true;
      // What is not drawn yet is background: never two pictures in one.
      if (this.firstQuick) this.drawer.fill(targets.quickToBe, seenBehind(this.scene.light, this.scene.background));
    }
    this.drawTile(targets, targets.height / height);
  }

  /** The picture so far onto the canvas; false where there is none. */
  show(width: number, height: number): boolean {
    const { targets } = this;
    if (!targets) return false;
    const waited = performance.now() - this.passBegun;
    const growing = this.firstQuick && this.tileOpen && (this.shown === 'nothing' || waited > GROWING_AFTER_MS);
    if (!growing && this.shown === 'nothing') return false;
    const from = growing ? targets.quickToBe : this.shown === 'quick' ? targets.quick : targets.meanSoFar;
    this.drawer.present(from.texture, null, width, height);
    return true;
  }

  dispose(): void {
    this.context++;
    this.timer.drop();
    this.targets?.dispose();
    this.targets = null;
  }

  /** The first sample of the quick picture, which stands alone. */
  private get firstQuick(): boolean {
    return this.phase === 'quick' && this.sample === 0;
  }

  private compileWhatIsNeeded(targets: PictureTargets): boolean {
    const { programs, renderer } = this.drawer;
    if (!this.ready.quick) {
      this.compile('quick', () => [
        programs.walk.compile(renderer, targets.buffer),
        programs.shade.compile(renderer, targets.quick),
        programs.present.compile(renderer, null),
      ]);
    } else if (!this.ready.full && !this.moving) {
      this.compile('full', () => [programs.lightWalk.compile(renderer, targets.light)]);
    }
    return this.ready.quick;
  }

  private compile(which: 'quick' | 'full', begin: () => Promise<void>[]): void {
    // Without parallel compiling there is nothing to wait for: the first draw compiles.
    if (this.limits === 'low') this.ready[which] = true;
    if (this.compiling || this.ready[which]) return;
    this.compiling = true;
    const { context } = this;
    Promise.all(begin()).finally(() => {
      if (context !== this.context) return;
      this.compiling = false;
      this.ready[which] = true;
    });
  }

  /** Targets of the size that the pass wants; a change of size begins anew. */
  private sizedTargets(canvasWidth: number, canvasHeight: number): PictureTargets {
    const most = Math.min(1, Math.sqrt(MOST_PIXELS / (canvasWidth * canvasHeight)));
    const scale = this.moving ? most * MOVING_SCALES[this.movingScale] : most;
    const width = Math.max(1, Math.round(canvasWidth * scale));
    const height = Math.max(1, Math.round(canvasHeight * scale));
    if (this.targets && this.targets.width === width && this.targets.height === height) return this.targets;
    this.targets?.dispose();
    this.targets = new PictureTargets(width, height, this.halfFloat);
    this.shown = 'nothing';
    this.restart();
    return this.targets;
  }

  private drawTile(targets: PictureTargets, scale: number): void {
    const { tile } = this.schedule;
    const begun = performance.now();
    this.drawer.setScene(this.scene, targets.width, targets.height, scale);
    const full = this.phase === 'full';
    const into = this.firstQuick ? targets.quickToBe : targets.meanToBe;
    const history = !full && this.sample === 1 ? targets.quick : targets.meanSoFar;
    this.drawer.drawTile(targets, tile, this.sample, full, into, history, this.sample / (this.sample + 1));
    this.timer.mark(begun, tile.width * tile.height);
    this.fresh = this.drawnFull !== full;
    this.drawnFull = full;
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
    // The mean is about to be drawn over; the quick picture stands in meanwhile.
    this.shown = 'quick';
  }

  /** What follows a complete sample. */
  private endSample(): void {
    if (this.phase === 'full') {
      if (this.sample >= Math.min(SHOW_AFTER, this.samples)) this.shown = 'mean';
      if (this.sample >= this.samples) this.phase = 'settled';
      return;
    }
    this.shown = this.sample === 1 ? 'quick' : 'mean';
    if (this.moving) {
      this.adaptMoving(performance.now() - this.passBegun);
      this.phase = 'settled';
    } else if (this.ready.full) this.beginFull();
    else if (this.sample >= QUICK_SAMPLES) this.phase = 'waiting';
  }

  /** Fewer pixels while a whole picture takes too long, more when there is time to spare. */
  private adaptMoving(elapsedMs: number): void {
    if (elapsedMs > 2 * MOVING_MS) this.movingScale = Math.min(MOVING_SCALES.length - 1, this.movingScale + 1);
    else if (elapsedMs < MOVING_MS / 2) this.movingScale = Math.max(0, this.movingScale - 1);
  }
}
