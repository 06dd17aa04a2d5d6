import type { ClothViewOptions } from './clothViewTypes.ts';
import { type DrawTime, GpuTimer } from './gpuTimer.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureTargets } from './pictureTargets.ts';

/** What all pictures of one renderer share: which programs are ready, and how long the GPU takes for a tile. */
export class DrawingState {
  readonly timer: GpuTimer;
  private readonly ready = { quick: false, full: false };
  private compiling = false;
  /** Counts lost contexts, so that a compilation begun before one is not believed after it. */
  private context = 0;
  /** Of the programs that `ready` speaks of. */
  private version = 0;
  private drawnFull: boolean | null = null;
  /** The last draw was its program's first, so its time may hold the compiler's. */
  private fresh = false;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly limits: NonNullable<ClothViewOptions['limits']>,
  ) {
    this.timer = new GpuTimer(drawer.renderer.getContext() as WebGL2RenderingContext);
  }

  get fullReady(): boolean {
    return this.ready.full;
  }

  /** Starts what is still to be compiled; true once quick pictures can be drawn. */
  compile(targets: PictureTargets, fullWanted: boolean): boolean {
    const { programs, renderer } = this.drawer;
    if (programs.version !== this.version) this.forget();
    if (!this.ready.quick) {
      this.begin('quick', () => [
        programs.walk.compile(renderer, targets.buffer),
        ...(programs.isHairy ? [programs.hairWalk, programs.hairPlace, programs.hair] : []).map((pass) =>
          pass.compile(renderer, targets.buffer),
        ),
        ...(programs.isStranded ? [programs.strands.compile(renderer, targets.buffer)] : []),
        programs.shade.compile(renderer, targets.quick),
        programs.present.compile(renderer, null),
        programs.farClass.compile(renderer, targets.quick),
        programs.farCloth.compile(renderer, targets.quick),
      ]);
    } else if (!this.ready.full && fullWanted) {
      this.begin('full', () => [
        programs.lightWalk.compile(renderer, targets.light),
        programs.columns.compile(renderer, targets.light),
        programs.lightColumns.compile(renderer, targets.light),
        ...(programs.isHairy ? [programs.lightField, programs.hairField] : []).map((pass) =>
          pass.compile(renderer, targets.light),
        ),
      ]);
    }
    return this.ready.quick;
  }

  /** A tile's time once it is known and worth learning from. */
  measured(): DrawTime | null {
    const took = this.timer.take();
    return this.fresh ? null : took;
  }

  /** Marks what was just issued. */
  mark(begun: number, pixels: number, full: boolean): void {
    this.timer.mark(begun, pixels);
    this.fresh = this.drawnFull !== full;
    this.drawnFull = full;
  }

  /** Forgets what a lost context took. */
  forget(): void {
    this.context++;
    this.version = this.drawer.programs.version;
    this.timer.drop();
    this.ready.quick = false;
    this.ready.full = false;
    this.compiling = false;
    this.drawnFull = null;
  }

  dispose(): void {
    this.context++;
    this.timer.drop();
  }

  private begin(which: 'quick' | 'full', compile: () => Promise<void>[]): void {
    // Without parallel compiling there is nothing to wait for: the first draw compiles.
    if (this.limits === 'low') this.ready[which] = true;
    if (this.compiling || this.ready[which]) return;
    this.compiling = true;
    const { context } = this;
    Promise.all(compile()).finally(() => {
      if (context !== this.context) return;
      this.compiling = false;
      this.ready[which] = true;
    });
  }
}
