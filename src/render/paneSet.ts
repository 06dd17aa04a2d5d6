import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothPane } from './clothPane.ts';
import type { ClothPaneSetup, StepResult } from './clothViewTypes.ts';
import type { DrawingState } from './drawingState.ts';
import { BLUR_BYTES_PER_PIXEL } from './eyeBlur.ts';
import { pictureScale } from './paneBudget.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { BYTES_PER_PIXEL } from './pictureTargets.ts';

/** The pictures of a view: one over the whole canvas unless several are asked for. They take turns at the GPU. */
export class PaneSet {
  samples: number | undefined;
  moving = false;
  /** As the eye has it, mm; null for as near as drawn. */
  heldAtMm: number | null = null;
  private panes: ClothPane[] = [];
  private setup: readonly ClothPaneSetup[] = [];
  private width = 1;
  private height = 1;
  private turns = 0;

  /** @param scene what all pictures have in common; read anew at every `restart` and `share` */
  constructor(
    private readonly drawer: PictureDrawer,
    private readonly scene: PictureScene,
    private readonly state: DrawingState,
    readonly halfFloat: boolean,
  ) {}

  /** None for the one picture over the whole canvas. */
  setPanes(setup: readonly ClothPaneSetup[]): void {
    this.setup = setup;
    this.arrange();
  }

  setSize(width: number, height: number): void {
    this.width = width;
    this.height = height;
    this.arrange();
    this.restart();
  }

  restart(): void {
    this.share();
    for (const pane of this.panes) pane.sampler.restart();
  }

  /** The view's own cloth is another, or the same one worked out more closely. */
  restartShared(finer: boolean): void {
    for (const pane of this.panes) {
      if (pane.scene.textures) continue;
      if (finer) pane.sampler.restart();
      else pane.sampler.restartOther();
    }
  }

  /** What a cloth is from afar has become known. */
  setFar(cloth: PackedCloth, far: FarCloth): void {
    for (const pane of this.panes) pane.setFar(cloth, far);
    this.share();
  }

  /** Hands what all have in common to each; draws anew only where memory asks for another size. */
  share(): void {
    const { light, background, backLit, pose } = this.scene;
    for (const pane of this.panes) {
      Object.assign(pane.scene, { light, background, backLit });
      pane.setPose(pose);
    }
    const mostScale = this.mostScale();
    for (const pane of this.panes) {
      const { sampler } = pane;
      sampler.moving = this.moving;
      sampler.heldAtMm = pane.isLens ? undefined : (this.heldAtMm ?? undefined);
      if (this.samples !== undefined) sampler.samples = this.samples;
      if (sampler.mostScale === mostScale) continue;
      sampler.mostScale = mostScale;
      sampler.restart();
    }
  }

  /** One slice of work, for the picture that has come the least far. */
  advance(): void {
    const next = this.next();
    if (!next) return;
    next.drawnAt = ++this.turns;
    next.sampler.advance(next.frame.width, next.frame.height);
  }

  get progress(): StepResult {
    return this.next() ? 'more' : 'settled';
  }

  /** Whether a picture still shows the cloth before. */
  get showsEarlier(): boolean {
    return this.panes.some((pane) => pane.hasCloth() && pane.sampler.showsEarlier);
  }

  /**
   * Onto the canvas; whether there was any cloth to show.
   * @param clear fills all of it with what lies behind; called unless pictures cover it
   */
  show(clear: () => void): boolean {
    const { renderer } = this.drawer;
    const [first] = this.panes;
    if (this.setup.length === 0 && first?.hasCloth() && first.sampler.show(0, 0, this.width, this.height)) return true;
    clear();
    if (this.setup.length === 0) return false;
    let any = false;
    renderer.setScissorTest(true);
    for (const pane of this.panes) if (pane.hasCloth() && pane.show(this.height)) any = true;
    renderer.setScissorTest(false);
    return any;
  }

  /** The picture that lies uppermost at a point of the canvas, device pixels from its top left. */
  at(x: number, y: number): ClothPane | undefined {
    return this.panes.findLast((pane) => pane.holds(x, y));
  }

  /** Forgets what a lost context took. */
  forget(): void {
    this.state.forget();
    for (const pane of this.panes) pane.sampler.forget();
  }

  dispose(): void {
    for (const pane of this.panes) pane.dispose();
    this.panes = [];
  }

  /** With which the targets of all pictures, those from afar too, keep within memory. */
  private mostScale(): number {
    const framePixels = this.panes.reduce((sum, { frame }) => sum + frame.width * frame.height, 0);
    const bytes = BYTES_PER_PIXEL + (this.heldAtMm === null ? 0 : BLUR_BYTES_PER_PIXEL);
    const fars = this.panes.flatMap(({ scene, frame }) => this.drawer.farBytes(scene, frame.width, frame.height) ?? []);
    const farBytes = (share: number) => fars.reduce((sum, far) => sum + far(share), 0);
    return pictureScale(framePixels, this.width * this.height, bytes, farBytes);
  }

  /** As many pictures as asked for, each kept where it stays what it was. */
  private arrange(): void {
    const frame = { x: 0, y: 0, width: this.width, height: this.height };
    const setup = this.setup.length > 0 ? this.setup : [{ frame }];
    for (const pane of this.panes.splice(setup.length)) pane.dispose();
    while (this.panes.length < setup.length) {
      this.panes.push(new ClothPane(this.drawer, this.scene, this.state, this.halfFloat));
    }
    setup.forEach((one, k) => {
      this.panes[k].arrange(one);
    });
    this.share();
  }

  /** Of equals the one that has waited longest; none where all rest. */
  private next(): ClothPane | undefined {
    let next: ClothPane | undefined;
    for (const pane of this.panes) {
      if (!pane.hasCloth() || pane.sampler.settled) continue;
      const ahead = next ? pane.sampler.progress - next.sampler.progress : -1;
      if (!next || ahead < 0 || (ahead === 0 && pane.drawnAt < next.drawnAt)) next = pane;
    }
    return next;
  }
}
