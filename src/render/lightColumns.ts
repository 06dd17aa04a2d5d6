import type * as THREE from 'three';
import { MAX_TEXTURE_SIDE } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ClothTextures } from './clothTextures.ts';
import type { Eye } from './eye.ts';
import type { PicturePart } from './farWindow.ts';
import { fieldPerMm, HairField, hairSpan } from './hairField.ts';
import { leastPitch, partSeen } from './partSeen.ts';
import type { PictureScene } from './pictureScene.ts';
import { wholeNumberTarget } from './wholeNumberTarget.ts';

/** Texels to the distance between threads: of fewer, threads lose their shape; more show nothing more. */
const LEAST_A_PITCH = 16;
const MOST_A_PITCH = 64;
/** 32 MB. */
const MOST_TEXELS = 2 ** 21;
/** More, for each pixel of the picture, take longer to make than they save in a picture's first samples. */
const TEXELS_A_PIXEL = 8;
/** However small the picture. */
const FREE_TEXELS = 2 ** 16;
/** Owners are told in 16 bits, one value being nobody. */
const MOST_THREADS = 0x7fff;
/** Distances between threads, beyond what is seen, from where light is still hidden: as many are made, and fewer asked for, so that a little pan makes nothing anew. */
const MARGIN_PITCHES = 4;
const LEAST_MARGIN_PITCHES = 2;
/** Steps along a ray to the distance between threads. */
const STEPS_A_PITCH = 8;
/** Pictures that have columns at a time; more take turns so fast that each would be made anew at every turn. */
const MOST_KEPT = 3;
/** A picture that was not drawn for so many turns of others is given up for another. */
const IDLE_TURNS = 64;

/**
 * How rays to the light go: walked from thread to thread (clear threads, threads of few texels, pictures of too many of them),
 * through columns, or through columns with what hair there is in a field of its own (or none); 'more' where those are still to be
 * made.
 */
export type LightWay = 'walk' | 'more' | 'columns' | 'field';

interface Part {
  readonly low: readonly [number, number];
  readonly high: readonly [number, number];
}

interface Span extends Part {
  readonly perMm: number;
  /** Of it, what must be there. */
  readonly needed: Part;
}

interface Kept {
  readonly target: THREE.WebGLRenderTarget;
  readonly from: ClothTextures;
  readonly span: Span;
  /** Whether light looks at any hair; and the field that it is in, where that is fine enough. */
  readonly hairy: boolean;
  readonly hair: HairField | null;
  /** Rows of texels that are made. */
  rows: number;
  turn: number;
}

/**
 * Bodies over each place of the part of the cloth that a near picture shows (shaders/cloth/columns.glsl), in which rays to
 * the light are followed step by step instead of from thread to thread. Made once for a cloth and a part of it, whatever eye
 * and light do after. Exact but for what its texels and steps leave out (tests/browser/lightColumns.browser.test.ts).
 */
export class LightColumns {
  private readonly kept = new Map<PictureScene, Kept>();
  private turn = 0;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
  ) {
    renderer.domElement.addEventListener('webglcontextrestored', this.forget);
  }

  /**
   * Makes columns for a scene, and sets their uniforms where they are whole.
   * @param mostTexels made at a time
   */
  prepare(
    textures: ClothTextures,
    scene: PictureScene,
    eye: Eye,
    width: number,
    height: number,
    part: PicturePart,
    mostTexels: number,
  ): LightWay {
    this.turn++;
    const made = this.kept.get(scene);
    const span = spanOf(textures.cloth, eye, width, height, part);
    const kept = span && made && holds(made, textures, span) ? made : span && this.begin(scene, textures, span);
    if (!kept) return 'walk';
    kept.turn = this.turn;
    const u = this.programs.uniforms;
    const { target, span: of } = kept;
    const [x, y] = of.low;
    u.uColumnsPlace.value.set(x, y, target.width / (of.high[0] - x), target.height / (of.high[1] - y));
    u.uColumnStepMm.value = leastPitch(textures.cloth) / STEPS_A_PITCH;
    const { hair } = kept;
    if (!hair) u.uHairHeights.value.set(0, 0, 1, 0);
    if (kept.rows < target.height) this.draw(kept, Math.ceil(mostTexels / target.width));
    if (kept.rows === target.height) hair?.draw(this.renderer, this.programs, mostTexels);
    u.uColumns.value = target.texture;
    if (kept.rows < target.height || hair?.whole === false) return 'more';
    return hair || !kept.hairy ? 'field' : 'columns';
  }

  release(scene: PictureScene): void {
    const made = this.kept.get(scene);
    made?.target.dispose();
    made?.hair?.dispose();
    this.kept.delete(scene);
  }

  dispose(): void {
    this.renderer.domElement.removeEventListener('webglcontextrestored', this.forget);
    for (const scene of this.kept.keys()) this.release(scene);
  }

  private readonly forget = (): void => {
    for (const made of this.kept.values()) {
      made.rows = 0;
      made.hair?.forget();
    }
  };

  private begin(scene: PictureScene, from: ClothTextures, span: Span): Kept | null {
    this.release(scene);
    if (this.kept.size >= MOST_KEPT) {
      const [oldest, { turn }] = [...this.kept].reduce((a, b) => (a[1].turn < b[1].turn ? a : b));
      if (this.turn - turn < IDLE_TURNS) return null;
      this.release(oldest);
    }
    const [width, height] = [0, 1].map((k) => Math.max(1, Math.floor((span.high[k] - span.low[k]) * span.perMm)));
    if (Math.max(width, height) > MAX_TEXTURE_SIDE) return null;
    const target = wholeNumberTarget(width, height, 1);
    const stands = hairSpan(from.cloth);
    const gl = this.renderer.getContext() as WebGL2RenderingContext;
    const longestMm = Math.max(span.high[0] - span.low[0], span.high[1] - span.low[1]);
    const most = gl.getParameter(gl.MAX_3D_TEXTURE_SIZE) / longestMm;
    const perMm = stands && fieldPerMm(stands, span.perMm, leastPitch(from.cloth), most);
    const hair = stands && perMm ? new HairField(stands, span.low, span.high, perMm) : null;
    const kept = {
      target,
      from,
      span,
      hairy: stands !== null,
      hair,
      rows: 0,
      turn: this.turn,
    };
    this.kept.set(scene, kept);
    return kept;
  }

  private draw(kept: Kept, rows: number): void {
    const { target } = kept;
    const count = Math.min(rows, target.height - kept.rows);
    target.scissorTest = true;
    target.scissor.set(0, kept.rows, target.width, count);
    // A texture cannot be read while it is drawn to.
    this.programs.uniforms.uColumns.value = null;
    this.programs.columns.draw(this.renderer, target);
    kept.rows += count;
  }
}

/** The part of a cloth that a picture's light needs columns of, and how fine; null where they do not serve. */
function spanOf(cloth: PackedCloth, eye: Eye, width: number, height: number, part: PicturePart): Span | null {
  if (cloth.clear || Math.max(cloth.rows, cloth.ends) >= MOST_THREADS) return null;
  const seen = partSeen(cloth, eye, width, height, part);
  const pitch = leastPitch(cloth);
  const { min, max } = cloth.bounds;
  const withMargin = (mm: number): Part => ({
    low: [Math.max(min[0], seen.low[0] - mm), Math.max(min[1], seen.low[1] - mm)],
    high: [Math.min(max[0], seen.high[0] + mm), Math.min(max[1], seen.high[1] + mm)],
  });
  const { low, high } = withMargin(MARGIN_PITCHES * pitch);
  if (low[0] >= high[0] || low[1] >= high[1]) return null;
  const most = Math.min(MOST_TEXELS, Math.max(FREE_TEXELS, TEXELS_A_PIXEL * part.width * part.height));
  const fits = Math.sqrt(most / ((high[0] - low[0]) * (high[1] - low[1])));
  if (fits * pitch < LEAST_A_PITCH) return null;
  const wanted = Math.min(MOST_A_PITCH, Math.max(LEAST_A_PITCH, pitch / seen.pixelMm)) / pitch;
  return { low, high, perMm: Math.min(fits, wanted), needed: withMargin(LEAST_MARGIN_PITCHES * pitch) };
}

/** Whether what is made serves what is wanted: nothing outside it, and not much coarser or finer. */
function holds({ from, span }: Kept, textures: ClothTextures, { needed, perMm }: Span): boolean {
  const within = [0, 1].every((k) => span.low[k] <= needed.low[k] && span.high[k] >= needed.high[k]);
  return from === textures && within && span.perMm >= 0.7 * perMm && span.perMm <= 2 * perMm;
}
