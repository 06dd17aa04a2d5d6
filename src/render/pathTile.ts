import * as THREE from 'three';
import type { ClothPrograms } from './clothPrograms.ts';
import type { ScreenPass } from './screenPass.ts';
import type { Tile } from './tileSchedule.ts';
import { wholeNumberTarget } from './wholeNumberTarget.ts';

/** Paths' states take 2 · 64 bytes a pixel and what leaves their surfaces 48: 46 MB on the largest tile. */
export const MOST_SIDE = 512;

/** Blocks on a side of the survey: of a few hundred pixels at most, so that a byte counts them. */
const SURVEY_SIDE = 32;

/** However few pixels still want rays: passes cost the page time as well. */
const MOST_PASSES = 64;

/** How far a tile's paths have come. */
export interface Survey {
  /** Pixels that still want samples; at least one where there are any. */
  readonly wanting: number;
  /** Samples that a pixel has, on the mean. */
  readonly mean: number;
}

/** The paths of one tile of the reference picture, which go on by a ray at each pass. */
export class PathTile {
  readonly at: Tile = { x: 0, y: 0, width: 1, height: 1 };
  private readonly states: readonly [THREE.WebGLRenderTarget, THREE.WebGLRenderTarget];
  private readonly left: THREE.WebGLRenderTarget;
  private readonly survey = new THREE.WebGLRenderTarget(SURVEY_SIDE, SURVEY_SIDE, { depthBuffer: false });
  private readonly ray: ScreenPass;
  private readonly leave: ScreenPass;
  private readonly meanOf: ScreenPass;
  private readonly surveyOf: ScreenPass;
  private front = 0;
  /** Rows of this pass that are drawn. */
  private rows = 0;
  private fresh = true;
  private before = 0;
  private wanted = 0;

  constructor(
    private readonly renderer: THREE.WebGLRenderer,
    private readonly programs: ClothPrograms,
    private readonly options: { readonly lambert: boolean; readonly draped: boolean; readonly features: number },
    width: number,
    height: number,
  ) {
    this.states = [wholeNumberTarget(width, height, 4), wholeNumberTarget(width, height, 4)];
    this.left = wholeNumberTarget(width, height, 3);
    const { ray, leave } = programs.createPath(options.lambert, options.draped, options.features);
    this.ray = ray;
    this.leave = leave;
    this.meanOf = programs.createPathMean();
    this.surveyOf = programs.createPathSurvey();
  }

  async compile(means: THREE.WebGLRenderTarget): Promise<void> {
    const { renderer, states, left, survey, options } = this;
    await Promise.all([
      this.leave.compile(renderer, left, options.features),
      this.ray.compile(renderer, states[0], options.features),
      this.meanOf.compile(renderer, means),
      this.surveyOf.compile(renderer, survey),
    ]);
  }

  /** Goes to another part of the picture, where paths begin anew: every pixel has `before` samples, and is to have `wanted`. */
  begin(at: Tile, before: number, wanted: number): void {
    Object.assign(this.at, at);
    this.rows = 0;
    this.fresh = true;
    this.before = before;
    this.wanted = wanted;
  }

  /**
   * Follows up to so many rays, row by row and pass by pass; the view's uniforms are set already.
   * @param means that samples before are taken from
   * @returns rays followed or found ended
   */
  follow(means: THREE.WebGLRenderTarget, rays: number): number {
    const u = this.programs.uniforms;
    const { at, renderer, states } = this;
    const most = Math.min(rays, MOST_PASSES * at.width * at.height);
    let left = most;
    while (left > 0) {
      const rows = Math.min(at.height - this.rows, Math.max(1, Math.floor(left / at.width)));
      this.bindState();
      u.uHistory.value = this.fresh ? means.texture : null;
      u.uSamplesBefore.value = this.fresh ? this.before : -1;
      u.uSamplesWanted.value = this.wanted;
      u.uTargetOffset.value.set(at.x, at.y);
      const into = states[1 - this.front];
      for (const target of [this.left, into]) {
        target.scissorTest = true;
        target.scissor.set(0, this.rows, at.width, rows);
      }
      // Fresh paths are at no surface yet.
      if (!this.fresh) this.leave.draw(renderer, this.left);
      this.ray.draw(renderer, into);
      left -= rows * at.width;
      this.rows += rows;
      if (this.rows < at.height) continue;
      this.rows = 0;
      this.front = 1 - this.front;
      this.fresh = false;
    }
    u.uHistory.value = null;
    return most - left;
  }

  /** Resolves once all that was drawn before is done. */
  async look(): Promise<Survey> {
    const u = this.programs.uniforms;
    const { at, renderer, survey } = this;
    const block = Math.ceil(Math.max(at.width, at.height) / SURVEY_SIDE);
    this.bindState();
    u.uTileSize.value.set(at.width, at.height);
    u.uSurveyBlock.value = block;
    u.uSamplesWanted.value = this.wanted;
    this.surveyOf.draw(renderer, survey);
    const pixels = at.width * at.height;
    // Where no pass is complete yet the state is that of another place.
    const known = !this.fresh;
    const area = (k: number) =>
      side(at.width, block, k % SURVEY_SIDE) * side(at.height, block, Math.floor(k / SURVEY_SIDE));
    const bytes = new Uint8Array(SURVEY_SIDE * SURVEY_SIDE * 4);
    await renderer.readRenderTargetPixelsAsync(survey, 0, 0, SURVEY_SIDE, SURVEY_SIDE, bytes);
    if (!known) return { wanting: pixels, mean: 0 };
    let wanting = 0;
    let taken = 0;
    for (let k = 0; k < SURVEY_SIDE * SURVEY_SIDE; k++) {
      wanting += bytes[4 * k];
      taken += (bytes[4 * k + 1] + 256 * bytes[4 * k + 2]) * area(k);
    }
    return { wanting, mean: taken / pixels };
  }

  /** The means of its samples to their place in the picture. */
  resolve(means: THREE.WebGLRenderTarget): void {
    const { at } = this;
    this.bindState();
    this.programs.uniforms.uTargetOffset.value.set(at.x, at.y);
    means.scissorTest = true;
    means.scissor.set(at.x, at.y, at.width, at.height);
    this.meanOf.draw(this.renderer, means);
  }

  dispose(): void {
    for (const pass of [this.ray, this.leave, this.meanOf, this.surveyOf]) pass.dispose();
    for (const target of [...this.states, this.left, this.survey]) target.dispose();
  }

  private bindState(): void {
    const u = this.programs.uniforms;
    const [place, way, carried, sum] = this.states[this.front].textures;
    u.uPathPlace.value = place;
    u.uPathWay.value = way;
    u.uPathCarried.value = carried;
    u.uPathSum.value = sum;
    const [leftPlace, leftWay, leftCarried] = this.left.textures;
    u.uLeftPlace.value = leftPlace;
    u.uLeftWay.value = leftWay;
    u.uLeftCarried.value = leftCarried;
  }
}

/** Pixels of the k-th block along a side. */
function side(length: number, block: number, k: number): number {
  return Math.max(0, Math.min(length - k * block, block));
}
