import type * as THREE from 'three';
import { TABLE_WIDTH } from '#engine/packing/clothBufferLayout.ts';
import type { Uniforms } from './clothTextures.ts';
import type { ScreenPass } from './screenPass.ts';
import { wholeNumberTarget } from './wholeNumberTarget.ts';

/** 12 MB, at 48 bytes a hair. */
const MOST_ROWS = 256;
/** Most hairs that are placed at a time. */
export const MOST_PLACED = MOST_ROWS * TABLE_WIDTH;

/** Hairs placed on their threads (shaders/cloth/hairPlaced.glsl), for the bands that are drawn next. */
export class HairPlaces {
  private target: THREE.WebGLRenderTarget | null = null;

  constructor(
    private readonly pass: ScreenPass,
    private readonly uniforms: Uniforms,
  ) {}

  /**
   * Places so many hairs of those that the uniforms name, and sets what reads them.
   * @param first number of the first
   * @param count MOST_PLACED at most
   */
  draw(renderer: THREE.WebGLRenderer, first: number, count: number): void {
    const u = this.uniforms;
    const rows = Math.ceil(count / TABLE_WIDTH);
    const target = this.ofRows(rows);
    const named = ['uHairRoots', 'uHairChords', 'uHairBows'];
    // A texture cannot be read while it is drawn to.
    for (const name of named) u[name].value = null;
    u.uHairFirst.value = first;
    target.scissor.set(0, 0, TABLE_WIDTH, rows);
    this.pass.draw(renderer, target);
    for (const [k, name] of named.entries()) u[name].value = target.textures[k];
  }

  dispose(): void {
    this.target?.dispose();
    this.target = null;
  }

  private ofRows(rows: number): THREE.WebGLRenderTarget {
    if (this.target && this.target.height >= rows) return this.target;
    this.target?.dispose();
    const height = Math.min(MOST_ROWS, 2 ** Math.ceil(Math.log2(rows)));
    this.target = wholeNumberTarget(TABLE_WIDTH, height, 3);
    this.target.scissorTest = true;
    return this.target;
  }
}
