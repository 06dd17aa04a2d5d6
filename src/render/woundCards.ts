import * as THREE from 'three';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothTextures } from './clothTextures.ts';
import type { ClothLight } from './clothViewTypes.ts';
import type { DrawingState } from './drawingState.ts';
import { FACE_POSE } from './eye.ts';
import { GpuTimer } from './gpuTimer.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { PictureTargets } from './pictureTargets.ts';
import { withRenderer } from './renderer.ts';
import { SharedFeatures } from './sharedFeatures.ts';

/** One small picture of a cloth of its own. */
export interface CardOrder {
  readonly cloth: PackedCloth;
  readonly light: ClothLight;
  /** Side of the square picture, device pixels, and of what it shows, mm. */
  readonly sidePx: number;
  readonly sideMm: number;
  /** RGBA, sRGB, 8 bits, top row first. */
  readonly onDone: (pixels: Uint8ClampedArray<ArrayBuffer>) => void;
}

/** Behind the turns, where a ray slips between the edges of film: card in shadow. */
const SEAM = [0.1, 0.1, 0.1] as const;

const SAMPLES = 16;
/** Samples in one step are doubled while a step takes about a frame, and halved above what no draw should pass. */
const MOST_A_STEP = 8;
const QUICK_MS = 25;
const SLOW_MS = 50;

/** Draws small pictures one after the other, in steps short enough to go between frames. */
export class WoundCards {
  private order: CardOrder | null = null;
  private textures: ClothTextures | null = null;
  private readonly shared = new SharedFeatures();
  private features = 0;
  private targets: PictureTargets | null = null;
  private sample = 0;
  private perStep = 2;
  private reading = false;
  /** By the programs of these features. */
  private drawn = false;
  /** Counts orders and lost contexts, so that a reading begun before is not taken for a later one. */
  private turn = 0;
  private readonly timer: GpuTimer;

  constructor(
    private readonly drawer: PictureDrawer,
    private readonly state: DrawingState,
    private readonly halfFloat: boolean,
  ) {
    this.timer = new GpuTimer(drawer.renderer.getContext() as WebGL2RenderingContext);
  }

  /** Whether an order is being drawn: another must wait. */
  get busy(): boolean {
    return this.order !== null;
  }

  take(order: CardOrder): void {
    this.finish();
    this.order = order;
    this.textures = this.drawer.load(order.cloth);
    const features = this.shared.with(this.textures.features);
    if (features !== this.features) {
      this.drawn = false;
      // The last draw of the card before is not the first by these programs.
      this.timer.drop();
    }
    this.features = features;
    this.sample = 0;
  }

  /** One slice of work; false where there is none left to do before `onDone`. */
  step(): boolean {
    const { order, state } = this;
    if (!order || this.reading) return false;
    const targets = this.sizedTargets(order.sidePx);
    const { features } = this;
    if (!state.compile(targets, true, features) || !state.fullReady(features) || !this.timer.isDone()) return true;
    this.learn();
    withRenderer(this.drawer.renderer, () => this.draw(order, targets));
    if (this.sample >= SAMPLES) this.read(order, targets);
    return !this.reading;
  }

  /** Begins the order again after a lost context. */
  forget(): void {
    this.turn++;
    this.timer.drop();
    this.targets?.dispose();
    this.targets = null;
    this.sample = 0;
    this.reading = false;
    this.drawn = false;
  }

  dispose(): void {
    this.finish();
    this.timer.drop();
    this.targets?.dispose();
    this.targets = null;
  }

  private draw(order: CardOrder, targets: PictureTargets): void {
    const { sidePx, sideMm, light } = order;
    const tile = { x: 0, y: 0, width: sidePx, height: sidePx };
    const pose = { ...FACE_POSE, centreMm: [0, 0] as const, pixelsPerMm: sidePx / sideMm, fieldOfViewRad: 0 };
    const common = { pose, light, background: SEAM, backLit: false };
    // So few pixels are lit sooner than columns are made.
    const scene: PictureScene = { ...common, textures: this.textures!, features: this.features, walkLight: true };
    const begun = performance.now();
    const until = Math.min(SAMPLES, this.sample + this.perStep);
    const count = until - this.sample;
    this.drawer.setScene(scene, sidePx, sidePx, 1);
    for (; this.sample < until; this.sample++) {
      const weight = this.sample / (this.sample + 1);
      this.drawer.drawTile(targets, tile, this.sample, true, targets.meanToBe, targets.meanSoFar, weight);
      targets.swap();
    }
    this.timer.mark(begun, count);
  }

  /** A first draw by programs may hold a compiler's time. */
  private learn(): void {
    const took = this.timer.take();
    if (took && this.drawn) {
      if (took.elapsedMs < QUICK_MS) this.perStep = Math.min(MOST_A_STEP, this.perStep * 2);
      else if (took.elapsedMs > SLOW_MS) this.perStep = Math.max(1, this.perStep >> 1);
    }
    this.drawn = took !== null || this.drawn;
  }

  private read(order: CardOrder, targets: PictureTargets): void {
    const { renderer, programs } = this.drawer;
    const { sidePx } = order;
    const bytes = new THREE.WebGLRenderTarget(sidePx, sidePx, { depthBuffer: false });
    // A card keeps its colour however the cloth is looked at.
    const { uLightnessOnly } = programs.uniforms;
    const lightnessOnly = uLightnessOnly.value;
    uLightnessOnly.value = 0;
    withRenderer(renderer, () => this.drawer.present(targets.meanSoFar.texture, bytes, sidePx, sidePx));
    uLightnessOnly.value = lightnessOnly;
    const read = new Uint8Array(sidePx * sidePx * 4);
    const { turn } = this;
    this.reading = true;
    renderer
      .readRenderTargetPixelsAsync(bytes, 0, 0, sidePx, sidePx, read)
      .then(
        () => {
          if (turn !== this.turn) return;
          this.finish();
          order.onDone(topRowFirst(read, sidePx));
        },
        // The context went meanwhile: `forget` begins again.
        () => {},
      )
      .finally(() => bytes.dispose());
  }

  private finish(): void {
    this.turn++;
    this.order = null;
    this.textures?.dispose();
    this.textures = null;
    this.reading = false;
  }

  private sizedTargets(sidePx: number): PictureTargets {
    if (this.targets?.width === sidePx) return this.targets;
    this.targets?.dispose();
    this.targets = new PictureTargets(sidePx, sidePx, this.halfFloat);
    this.sample = 0;
    return this.targets;
  }
}

function topRowFirst(read: Uint8Array, side: number): Uint8ClampedArray<ArrayBuffer> {
  const out = new Uint8ClampedArray(read.length);
  for (let y = 0; y < side; y++) out.set(read.subarray(y * side * 4, (y + 1) * side * 4), (side - 1 - y) * side * 4);
  return out;
}
