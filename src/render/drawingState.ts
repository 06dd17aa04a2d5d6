import type * as THREE from 'three';
import type { ClothViewOptions } from './clothViewTypes.ts';
import { type DrawTime, GpuTimer } from './gpuTimer.ts';
import type { HairPass } from './hairPass.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureTargets } from './pictureTargets.ts';
import { Feature, hairShadedApart, hasAll } from './programFeatures.ts';
import type { Readiness } from './programSets.ts';
import type { ScreenPass } from './screenPass.ts';

type Target = THREE.WebGLRenderTarget | null;

/** What all pictures of one renderer share: which programs are ready, and how long the GPU takes for a tile. */
export class DrawingState {
  readonly timer: GpuTimer;
  /** Counts lost contexts, so that a compilation begun before one is not believed after it. */
  private context = 0;
  private drawnFull: boolean | null = null;
  /** The last draw was its program's first, so its time may hold the compiler's. */
  private fresh = false;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly limits: NonNullable<ClothViewOptions['limits']>,
  ) {
    this.timer = new GpuTimer(drawer.renderer.getContext() as WebGL2RenderingContext);
  }

  /** Whether pictures with light can be drawn of cloths of these features. */
  fullReady(features: number): boolean {
    return this.drawer.programs.sets.readyFor(features, true) !== undefined;
  }

  /**
   * Starts what is still to be compiled for cloths of these features; true once quick pictures of them can be drawn, be it by
   * fuller programs.
   */
  compile(targets: PictureTargets, fullWanted: boolean, features: number): boolean {
    const { programs, renderer } = this.drawer;
    const readiness = programs.sets.ask(features);
    const hairy = hasAll(features, Feature.hair);
    const begin = (of: 'quick' | 'full', passes: readonly (readonly [ScreenPass | HairPass, Target])[]) =>
      this.begin(readiness, of, () => passes.map(([pass, target]) => pass.compile(renderer, target, features)));
    const some = (is: boolean, passes: (ScreenPass | HairPass)[], target: Target) =>
      is ? passes.map((pass) => [pass, target] as const) : [];
    const { buffer, quick, light } = targets;
    if (!readiness.quick) {
      begin('quick', [
        [programs.walk, programs.isApart(features) ? targets.found : buffer],
        ...some(programs.isApart(features), [programs.surfaces], targets.facing),
        ...some(hairy, [programs.hairMet, programs.hairPlace, programs.hair, programs.whole], buffer),
        ...some(hasAll(features, Feature.strands), [programs.strands], buffer),
        [programs.shade, quick],
        ...some(hairShadedApart(features), [programs.shadeHair], quick),
        [programs.present, null],
        [programs.farClass, quick],
        [programs.farCloth, quick],
      ]);
    } else if (!readiness.full && fullWanted) {
      // Light of clear threads is walked; without hair there is but one way through columns.
      const columns = !hasAll(features, Feature.clear);
      begin('full', [
        [programs.lightWalk, light],
        ...some(hairy, [programs.lightHair], light),
        ...some(columns, [programs.columns, programs.lightField], light),
        ...some(columns && hairy, [programs.lightColumns, programs.hairField], light),
      ]);
    }
    return programs.sets.readyFor(features, false) !== undefined;
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
    this.timer.drop();
    this.drawer.programs.sets.forget();
    this.drawnFull = null;
  }

  dispose(): void {
    this.context++;
    this.timer.drop();
  }

  private begin(readiness: Readiness, which: 'quick' | 'full', compile: () => Promise<void>[]): void {
    // Without parallel compiling there is nothing to wait for: the first draw compiles.
    if (this.limits === 'low') readiness[which] = true;
    if (readiness.compiling || readiness[which]) return;
    readiness.compiling = true;
    const { context } = this;
    Promise.all(compile()).finally(() => {
      if (context !== this.context) return;
      readiness.compiling = false;
      readiness[which] = true;
    });
  }
}
