import * as THREE from 'three';
import { MOST_BOUNCES } from './clothPrograms.ts';
import { GpuTimer } from './gpuTimer.ts';
import { type PictureDrawer, type PictureScene, withRenderer } from './pictureDrawer.ts';
import type { ScreenPass } from './screenPass.ts';
import { TileSchedule } from './tileSchedule.ts';

/** A path takes some ten times a sample's work, so the first tile is small. */
const FIRST_PIXELS = 32 * 32;

/** As in shaders/cloth/light.glsl. */
const SKY_MEAN = 0.65;

/** The part of a picture that is traced, pixels from its bottom left. */
export interface TraceFrame {
  /** Of the whole picture. */
  readonly pictureWidth: number;
  readonly pictureHeight: number;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface TraceOptions {
  /** Bounces after which a path ends; 24 by default, MOST_BOUNCES at most. 1: light of window and room alone. */
  readonly mostBounces?: number;
  /** No window, and a room of radiance 1 all round, background included. */
  readonly evenRoom?: boolean;
  /** Perfectly matte surfaces of the same reflectance, for which exact values are known. */
  readonly lambert?: boolean;
}

export interface TraceRun {
  /** Called after each sample with those done and those wanted. */
  readonly onProgress?: (done: number, wanted: number) => void;
  /** Stops after the tile that is being drawn; a later run goes on from there. */
  readonly signal?: AbortSignal;
}

/**
 * The reference picture: paths of many bounces through the same walk, surfaces and light as the real-time picture, added
 * up tile by tile. Means are kept in 32-bit floats where the device draws to them, else in half floats (which stop
 * improving near 1000 samples).
 */
export class PathTracer {
  private readonly program: ScreenPass;
  private readonly means: [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget];
  private readonly schedule = new TileSchedule(FIRST_PIXELS);
  private readonly timer: GpuTimer;
  private readonly cloth: unknown;
  private readonly scene: PictureScene;
  private readonly options: Required<TraceOptions>;
  private front = 0;
  private done = 0;
  private tileOpen = false;
  private fresh = true;
  private running = false;

  /** @throws RangeError where `mostBounces` is no whole number from 1 to MOST_BOUNCES */
  constructor(
    private readonly drawer: PictureDrawer,
    scene: PictureScene,
    private readonly frame: TraceFrame,
    options: TraceOptions = {},
  ) {
    this.options = { mostBounces: 24, evenRoom: false, lambert: false, ...options };
    const { mostBounces } = this.options;
    if (!Number.isInteger(mostBounces) || mostBounces < 1 || mostBounces > MOST_BOUNCES) {
      throw new RangeError(`reference: ${mostBounces} bounces; give a whole number from 1 to ${MOST_BOUNCES}`);
    }
    this.scene = { ...scene, walkAll: true };
    this.cloth = drawer.cloth;
    this.timer = new GpuTimer(drawer.renderer.getContext() as WebGL2RenderingContext);
    this.program = drawer.programs.createPath(this.options.lambert);
    const mean = () =>
      new THREE.WebGLRenderTarget(frame.width, frame.height, {
        depthBuffer: false,
        minFilter: THREE.NearestFilter,
        magFilter: THREE.NearestFilter,
        type: meanType(drawer.renderer),
      });
    this.means = [mean(), mean()];
  }

  /** Samples that every pixel has taken. */
  get samples(): number {
    return this.done;
  }

  /** The mean so far, linear light, bottom row first. */
  get mean(): THREE.WebGLRenderTarget {
    return this.means[this.front];
  }

  /**
   * Takes samples until there are as many as wanted; true when so, false when stopped.
   * @throws where the cloth has been changed since the first sample, or a run is under way
   */
  async run(samples: number, { onProgress, signal }: TraceRun = {}): Promise<boolean> {
    if (this.running) throw new Error('reference: it is being drawn already; stop that run first');
    this.running = true;
    try {
      while (this.done < samples) {
        if (signal?.aborted) return false;
        await this.advance();
        if (!this.tileOpen) onProgress?.(this.done, samples);
      }
      return true;
    } finally {
      this.running = false;
    }
  }

  /** The mean so far: RGBA, linear light, bottom row first. */
  async readLinear(): Promise<Float32Array> {
    const { width, height } = this.frame;
    const { renderer } = this.drawer;
    if (this.mean.texture.type === THREE.FloatType) {
      const out = new Float32Array(width * height * 4);
      await renderer.readRenderTargetPixelsAsync(this.mean, 0, 0, width, height, out);
      return out;
    }
    const halves = new Uint16Array(width * height * 4);
    await renderer.readRenderTargetPixelsAsync(this.mean, 0, 0, width, height, halves);
    return Float32Array.from(halves, THREE.DataUtils.fromHalfFloat);
  }

  dispose(): void {
    this.timer.drop();
    this.program.dispose();
    for (const target of this.means) target.dispose();
  }

  /** One sample of one tile. */
  private async advance(): Promise<void> {
    const { width, height } = this.frame;
    if (this.drawer.cloth !== this.cloth) throw new Error('reference: the cloth has changed; begin anew');
    if (!this.tileOpen) this.schedule.begin(width, height);
    this.tileOpen = true;
    const begun = performance.now();
    withRenderer(this.drawer.renderer, () => this.drawTile());
    const { tile } = this.schedule;
    this.timer.mark(begun, tile.width * tile.height);
    await this.timer.whenDone();
    // What a lost context took is gone for good: targets come back empty.
    if (this.drawer.renderer.getContext().isContextLost())
      throw new Error('reference: the graphics were lost; begin anew');
    const took = this.timer.take();
    // The first draw holds the compiler's time.
    if (took && !this.fresh) this.schedule.learn(took.pixels, took.elapsedMs);
    this.fresh = false;
    if (this.schedule.next()) return;
    this.tileOpen = false;
    this.front = 1 - this.front;
    this.done++;
  }

  private drawTile(): void {
    const { drawer, frame, options } = this;
    const u = drawer.programs.uniforms;
    const { x, y, width, height } = this.schedule.tile;
    drawer.setScene(this.scene, frame.pictureWidth, frame.pictureHeight, 1);
    drawer.setSample(this.done);
    if (options.evenRoom) {
      u.uKeyLight.value = 0;
      u.uSkyLight.value = 1 / SKY_MEAN;
      u.uSkyAxis.value.set(0, 0, 0);
      u.uBackground.value.set(1, 1, 1);
    }
    u.uMostBounces.value = options.mostBounces;
    u.uPixelOffset.value.set(frame.x, frame.y);
    u.uHistory.value = this.mean.texture;
    u.uHistoryWeight.value = this.done / (this.done + 1);
    const into = this.means[1 - this.front];
    into.scissorTest = true;
    into.scissor.set(x, y, width, height);
    this.program.draw(drawer.renderer, into);
    u.uHistory.value = null;
    u.uPixelOffset.value.set(0, 0);
  }
}

function meanType(renderer: THREE.WebGLRenderer): THREE.TextureDataType {
  const gl = renderer.getContext();
  if (gl.getExtension('EXT_color_buffer_float')) return THREE.FloatType;
  if (gl.getExtension('EXT_color_buffer_half_float')) return THREE.HalfFloatType;
  throw new Error('reference: this device draws to no float targets; use another browser or device');
}
