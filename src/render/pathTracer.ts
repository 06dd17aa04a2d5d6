import * as THREE from 'three';
import type { Drape } from '#engine/packing/walk/drape.ts';
import { MOST_SIDE, PathTile, type Survey } from './pathTile.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { RayBudget } from './rayBudget.ts';
import { withRenderer } from './renderer.ts';
import { evenTiles, type Tile } from './tileSchedule.ts';
import { MOST_BOUNCES } from './viewUniforms.ts';

/**
 * Samples between two means. Tiles take turns after each such round, at whose end the GPU waits for its longest paths;
 * early rounds are short, so that there is something to see.
 */
const LEAST_ROUND = 8;
const MOST_ROUND = 128;

/** A sample of a large picture may take a minute: parts of it are told. */
const PART = 1 / 16;

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
  /** Bent instead of flat; null for flat. */
  readonly drape?: Drape | null;
}

export interface TraceRun {
  /** Called as samples are done, with how many a pixel has on the mean (to the PART of one below) and how many are wanted. */
  readonly onProgress?: (done: number, wanted: number) => void;
  /** Stops after the rays that are being followed; a later run goes on from there. */
  readonly signal?: AbortSignal;
}

/**
 * The reference picture: paths of many bounces through the same walk, surfaces and light as the real-time picture, each
 * pixel's one after another, a ray at a time. Means are kept in 32-bit floats where the device draws to them, else in half
 * floats (which stop improving near 1000 samples).
 */
export class PathTracer {
  private readonly tile: PathTile;
  private readonly means: THREE.WebGLRenderTarget;
  private readonly tiles: readonly Tile[];
  private readonly budget = new RayBudget();
  private readonly cloth: unknown;
  private readonly scene: PictureScene;
  private readonly options: Required<TraceOptions>;
  /** Samples of whole rounds, and those wanted of the round that is open; the same where none is. */
  private done = 0;
  private wanted = 0;
  private open = 0;
  private survey: Survey = { wanting: 0, mean: 0 };
  private awaited: Promise<Survey> | null = null;
  private compiled = false;
  private running = false;

  /** @throws RangeError where `mostBounces` is no whole number from 1 to MOST_BOUNCES */
  constructor(
    private readonly drawer: PictureDrawer,
    scene: PictureScene,
    private frame: TraceFrame,
    options: TraceOptions = {},
  ) {
    this.options = { mostBounces: 24, evenRoom: false, lambert: false, ...options, drape: options.drape ?? null };
    const { mostBounces, lambert, drape } = this.options;
    if (!Number.isInteger(mostBounces) || mostBounces < 1 || mostBounces > MOST_BOUNCES) {
      throw new RangeError(`reference: ${mostBounces} bounces; give a whole number from 1 to ${MOST_BOUNCES}`);
    }
    this.scene = { ...scene, walkAll: true };
    this.cloth = drawer.cloth;
    this.means = new THREE.WebGLRenderTarget(frame.width, frame.height, {
      depthBuffer: false,
      minFilter: THREE.NearestFilter,
      magFilter: THREE.NearestFilter,
      type: meanType(drawer.renderer),
    });
    this.tiles = evenTiles(frame.width, frame.height, MOST_SIDE);
    const side = (axis: 'width' | 'height') => Math.max(...this.tiles.map((tile) => tile[axis]));
    this.tile = new PathTile(
      drawer.renderer,
      drawer.programs,
      { lambert, draped: drape !== null, features: drawer.featuresOf(this.scene) },
      side('width'),
      side('height'),
    );
  }

  /** Samples that every pixel has in the mean: those of whole rounds. */
  get samples(): number {
    return this.done;
  }

  /** The mean of that many samples, linear light, bottom row first. */
  get mean(): THREE.WebGLRenderTarget {
    return this.means;
  }

  /**
   * Takes samples until there are as many as wanted; true when so, false when stopped.
   * @throws where the cloth has been changed since the first sample, or a run is under way
   */
  async run(samples: number, { onProgress, signal }: TraceRun = {}): Promise<boolean> {
    if (this.running) throw new Error('reference: it is being drawn already; stop that run first');
    this.running = true;
    let told = this.taken();
    try {
      if (!this.compiled) await this.tile.compile(this.means);
      this.compiled = true;
      while (this.done < samples) {
        if (signal?.aborted) return false;
        await this.advance(samples);
        if (this.taken() > told) onProgress?.(Math.min(samples, this.taken()), samples);
        told = this.taken();
      }
      return true;
    } finally {
      await this.settle();
      this.running = false;
    }
  }

  /** Goes to another part of the picture, of the same size, and begins anew: programs and targets are kept. */
  moveTo(x: number, y: number): void {
    if (this.running) throw new Error('reference: it is being drawn; stop that run first');
    this.frame = { ...this.frame, x, y };
    this.done = 0;
    this.wanted = 0;
  }

  /** The mean so far: RGBA, linear light, bottom row first. */
  async readLinear(): Promise<Float32Array> {
    const { width, height } = this.frame;
    const { renderer } = this.drawer;
    if (this.means.texture.type === THREE.FloatType) {
      const out = new Float32Array(width * height * 4);
      await renderer.readRenderTargetPixelsAsync(this.means, 0, 0, width, height, out);
      return out;
    }
    const halves = new Uint16Array(width * height * 4);
    await renderer.readRenderTargetPixelsAsync(this.means, 0, 0, width, height, halves);
    return Float32Array.from(halves, THREE.DataUtils.fromHalfFloat);
  }

  /** Takes what the open round has by now into the mean, to be looked at; what comes of the round is the same. */
  showOpenRound(): void {
    if (this.wanted > this.done && this.survey.mean > this.done) this.tile.resolve(this.means);
  }

  dispose(): void {
    this.tile.dispose();
    this.means.dispose();
  }

  /** Samples that a pixel has on the mean, rounded down to a part of one: those of the open round are known now and then. */
  private taken(): number {
    const { done, wanted, tiles, open, survey } = this;
    if (wanted === done) return done;
    let sum = 0;
    tiles.forEach(({ width, height }, k) => {
      sum += width * height * (k < open ? wanted : k === open ? Math.max(done, survey.mean) : done);
    });
    return PART * Math.floor(sum / (this.frame.width * this.frame.height) / PART + 1e-9);
  }

  /** Rays that take a few dozen milliseconds; the GPU has the next before it is asked how far it came with the last. */
  private async advance(samples: number): Promise<void> {
    if (this.drawer.cloth !== this.cloth) throw new Error('reference: the cloth has changed; begin anew');
    if (this.wanted === this.done) {
      const round = Math.min(samples - this.done, Math.max(LEAST_ROUND, Math.min(MOST_ROUND, this.done)));
      this.wanted = this.done + round;
      this.openTile(0);
    }
    const last = this.awaited;
    this.awaited = withRenderer(this.drawer.renderer, () => this.followRays());
    // What comes of it is asked after in the next turn.
    this.awaited.catch(() => undefined);
    if (!last) return;
    this.survey = await last;
    if (this.survey.wanting > 0) return;
    await this.settle();
    withRenderer(this.drawer.renderer, () => this.tile.resolve(this.means));
    if (this.open + 1 < this.tiles.length) this.openTile(this.open + 1);
    else this.done = this.wanted;
  }

  private openTile(index: number): void {
    this.open = index;
    this.tile.begin(this.tiles[index], this.done, this.wanted);
    const { width, height } = this.tiles[index];
    this.survey = { wanting: width * height, mean: this.done };
  }

  private async settle(): Promise<void> {
    const { awaited } = this;
    this.awaited = null;
    await awaited;
  }

  private async followRays(): Promise<Survey> {
    const { drawer, frame, options, tile, budget } = this;
    const { renderer } = drawer;
    const u = drawer.programs.uniforms;
    drawer.setScene(this.scene, frame.pictureWidth, frame.pictureHeight, 1);
    if (options.evenRoom) {
      u.uKeyLight.value = 0;
      u.uSkyLight.value = 1 / SKY_MEAN;
      u.uSkyAxis.value.set(0, 0, 0);
      u.uBackground.value.set(1, 1, 1);
    }
    const { drape } = options;
    if (drape) {
      u.uDrape.value.set(drape.axisMm, drape.radiusMm, drape.jointRad, drape.joints);
      u.uDrapeFar.value.set(drape.farAxisMm, drape.farJoints, drape.acrossWidth ? 1 : 0);
    }
    u.uMostBounces.value = options.mostBounces;
    u.uPixelOffset.value.set(frame.x + tile.at.x, frame.y + tile.at.y);
    const lively = this.survey.wanting / (tile.at.width * tile.at.height);
    const begun = performance.now();
    const rays = tile.follow(this.means, budget.raysWhere(lively));
    u.uPixelOffset.value.set(0, 0);
    const looked = tile.look();
    let survey: Survey | undefined;
    try {
      survey = await looked;
    } catch {
      // A lost context answers so; any other reason is told below.
    }
    // What a lost context took is gone for good: targets come back empty.
    if (!survey || renderer.getContext().isContextLost())
      throw new Error('reference: the graphics were lost; begin anew');
    budget.learn(rays, lively, begun, performance.now());
    return survey;
  }
}

function meanType(renderer: THREE.WebGLRenderer): THREE.TextureDataType {
  const gl = renderer.getContext();
  if (gl.getExtension('EXT_color_buffer_float')) return THREE.FloatType;
  if (gl.getExtension('EXT_color_buffer_half_float')) return THREE.HalfFloatType;
  throw new Error('reference: this device draws to no float targets; use another browser or device');
}
