import type * as THREE from 'three';
import { MOST_KIND_RAYS } from '#engine/packing/far/farTypes.ts';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ClothTextures } from './clothTextures.ts';
import { PictureTargets } from './pictureTargets.ts';
import type { Tile } from './tileSchedule.ts';

/** Lines of sight drawn in one pass, about: a few per cent of a full picture's pixels, of a small one half. */
const MOST_RAYS = 2 ** 17;
const LEAST_RAYS = 2 ** 12;
/** Those of a part are a multiple of this, */
const STEP_RAYS = 16;
/** and as many as this where a kind is divided into parts. */
const PART_RAYS = 32;
/** Pixels across of what they are drawn into. */
const ACROSS = 256;
/** At rest: rounds of four samples, in each of which every light is asked once, of half as many lines of sight. */
const ROUNDS = 4;
const SAMPLES_A_ROUND = 4;

/** Draws samples into targets, as `PictureDrawer` does. */
export interface SampleDrawing {
  drawTile(
    targets: PictureTargets,
    tile: Tile,
    sample: number,
    lit: boolean,
    into: THREE.WebGLRenderTarget,
    history: THREE.WebGLRenderTarget | null,
    historyWeight: number,
  ): void;
}

/** The nodes that kinds are looked at from: on a side, and with perspective the part of the cloth that they span. */
export interface KindNodes {
  readonly onSide: number;
  /** Left, bottom, right, top, mm. */
  readonly spanMm: readonly [number, number, number, number];
}

/**
 * What each kind of crossing shows: lines of sight through its cells, drawn by the programs of the near picture as if they
 * were a picture's pixels, so that near and far cannot differ in light.
 */
export class KindPicture {
  private targets: PictureTargets | null = null;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
    private readonly drawing: SampleDrawing,
  ) {}

  /**
   * @param out a texel for each part of a kind (across) and node (up)
   * @param parts of all kinds; how many of one is set already
   * @param pixels of the picture that it is for
   * @param fine with rays to the light, and twice as many lines of sight: about half a picture's work
   */
  draw(
    out: THREE.WebGLRenderTarget,
    textures: ClothTextures,
    parts: number,
    nodes: KindNodes,
    pixels: number,
    fine: boolean,
  ): void {
    const { renderer, programs } = this;
    const u = programs.uniforms;
    const places = parts * nodes.onSide ** 2;
    const rays = raysOf(places, fine ? 0.5 * pixels : pixels, fine ? 0.5 * MOST_RAYS : MOST_RAYS);
    const targets = this.sized(Math.ceil((places * rays) / ACROSS));
    u.uFarOn.value = 0;
    // So few lines of sight can see every hair.
    const hairFromMm = u.uHairFromMm.value;
    u.uHairFromMm.value = 0;
    u.uFarCloth.value = textures.places;
    u.uKinds.value.set(rays, parts, nodes.onSide, ACROSS);
    u.uKindView.value.set(...nodes.spanMm);
    const tile = { x: 0, y: 0, width: targets.width, height: targets.height };
    const samples = fine ? ROUNDS * SAMPLES_A_ROUND : 1;
    for (let sample = 0; sample < samples; sample++) {
      u.uKindsFrom.value = rays * nodes.onSide ** 2 * Math.floor(sample / SAMPLES_A_ROUND);
      const history = sample === 0 ? null : targets.meanSoFar;
      this.drawing.drawTile(targets, tile, sample, fine, targets.meanToBe, history, sample / (sample + 1));
      targets.swap();
    }
    u.uPicture.value = targets.meanSoFar.texture;
    programs.farClass.draw(renderer, out);
    u.uPicture.value = null;
    u.uKinds.value.set(0, 1, 1, 1);
    u.uHairFromMm.value = hairFromMm;
  }

  /** Lets go of what it draws into. */
  dispose(): void {
    this.targets?.dispose();
    this.targets = null;
  }

  private sized(height: number): PictureTargets {
    if (this.targets?.height === height) return this.targets;
    this.targets?.dispose();
    this.targets = new PictureTargets(ACROSS, height, true);
    return this.targets;
  }
}

/** Lines of sight for each part and node. */
function raysOf(places: number, pixels: number, most: number): number {
  const all = Math.min(most, Math.max(LEAST_RAYS, 0.5 * pixels));
  return Math.min(MOST_KIND_RAYS, STEP_RAYS * Math.max(1, Math.floor(all / (places * STEP_RAYS))));
}

/** Into how many parts a kind's cells may be divided, of so many kinds and nodes. */
export function mostPartsOf(places: number): number {
  return Math.max(1, Math.floor(MOST_RAYS / (places * PART_RAYS)));
}
