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
import { NORTH_LIGHT, seenBehind } from './lightUniforms.ts';
import { PathTracer, type TraceOptions } from './pathTracer.ts';
import { pickCloth } from './pick.ts';
import { bufferSize, PictureDrawer, type PictureScene, withRenderer } from './pictureDrawer.ts';
import { PictureSampler } from './pictureSampler.ts';

/**
 * Draws a packed cloth with a renderer that may be shared with others. Nothing is drawn outside `step`, `capture` and
 * `readBuffers`. After each change: a quick picture, then full samples until settled.
 */
export class ClothView implements ClothViewApi {
  private readonly drawer: PictureDrawer;
  private readonly sampler: PictureSampler;
  private readonly scene: PictureScene;
  private readonly canvas: HTMLCanvasElement;
  private walker: ClothWalker | null = null;
  private width: number;
  private height: number;
  private lost = false;
  private disposed = false;
  private capturing = false;

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
    this.sampler = new PictureSampler(this.drawer, this.scene, options.limits ?? 'full', canDrawHalfFloat(renderer));
    if (options.samples !== undefined) this.sampler.samples = options.samples;
    if (options.onShaderError) this.reportShaderErrors(options.onShaderError);
    this.canvas.addEventListener('webglcontextlost', this.handleLost);
    this.canvas.addEventListener('webglcontextrestored', this.handleRestored);
    const size = bufferSize(renderer);
    this.width = size.x;
    this.height = size.y;
  }

  get pose(): ClothPose {
    return this.scene.pose;
  }

  setCloth(cloth: PackedCloth | null): void {
    this.drawer.setCloth(cloth);
    this.walker = cloth ? new ClothWalker(cloth) : null;
    this.sampler.restart();
  }

  setView(pose: Partial<ClothPose>): void {
    this.scene.pose = { ...this.scene.pose, ...pose };
    this.sampler.restart();
  }

  setLight(light: Partial<ClothLight>): void {
    this.scene.light = { ...this.scene.light, behindCloth: false, ...light };
    this.sampler.restart();
  }

  setOptions(options: Pick<ClothViewOptions, 'background' | 'backLit' | 'samples'>): void {
    if (options.background) this.scene.background = options.background;
    if (options.backLit !== undefined) this.scene.backLit = options.backLit;
    if (options.samples !== undefined) this.sampler.samples = options.samples;
    this.sampler.restart();
  }

  setSize(width: number, height: number): void {
    this.width = Math.max(1, Math.round(width));
    this.height = Math.max(1, Math.round(height));
    this.sampler.restart();
  }

  setMoving(moving: boolean): void {
    if (moving === this.sampler.moving) return;
    this.sampler.moving = moving;
    this.sampler.restart();
  }

  fitPose(): ClothPose {
    const cloth = this.walker?.cloth;
    return cloth ? fitPose(cloth.bounds, this.scene.pose, this.width, this.height) : this.scene.pose;
  }

  step(): StepResult {
    if (this.disposed || this.lost || this.capturing) return 'settled';
    return withRenderer(this.renderer, () => {
      if (this.drawer.hasCloth) this.sampler.advance(this.width, this.height);
      if (!this.drawer.hasCloth || !this.sampler.show(this.width, this.height)) this.clear();
      return !this.drawer.hasCloth || this.sampler.settled ? 'settled' : 'more';
    });
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
    if (!this.walker) throw new Error('picture: there is no cloth to draw; set one first');
    this.capturing = true;
    try {
      await this.sampler.timer.whenDone();
      return await captureCloth(this.drawer, this.scene, width, height, samples, this.sampler.halfFloat);
    } finally {
      this.capturing = false;
      this.sampler.restart();
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
    await this.sampler.timer.whenDone();
    return readBuffers(this.drawer, this.scene, width, height, this.sampler.halfFloat, walker.cloth.extraTable);
  }

  dispose(): void {
    this.disposed = true;
    this.canvas.removeEventListener('webglcontextlost', this.handleLost);
    this.canvas.removeEventListener('webglcontextrestored', this.handleRestored);
    this.sampler.dispose();
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
    this.sampler.timer.drop();
    this.options.onLost?.();
  };

  private readonly handleRestored = (): void => {
    this.lost = false;
    this.sampler.forget();
    this.options.onRestored?.();
  };
}

/** Half-float targets come with either extension; without, means are kept in 8 bits. */
function canDrawHalfFloat(renderer: THREE.WebGLRenderer): boolean {
  const gl = renderer.getContext();
  return gl.getExtension('EXT_color_buffer_half_float') !== null || gl.getExtension('EXT_color_buffer_float') !== null;
}
