import * as THREE from 'three';
import {
  HAIR_TEXEL,
  MATERIAL_TEXELS,
  MEDIUM_SCALES,
  SIDED,
  SIDED_BELOW,
  THREAD_TEXELS,
  TILE_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPrograms } from './clothPrograms.ts';

/** Texels to the distance between threads: hair's density changes slowly beside theirs. */
const MOST_A_PITCH = 12;
/** Of the columns' own fineness. */
const OF_COLUMNS = 0.25;
const LEAST_LAYERS = 8;
const MOST_LAYERS = 24;
/** Texels over which hair thins out by e, and to the height of pile, whose ends are told by themselves. */
const LEAST_A_SCALE = 4;
const LEAST_A_SHELL = 2;
/** Ends of pile are told so many texels off: further than any that are filtered together. */
const ENDS_TEXELS = 4;
/** Hair of several threads may stand in one place, and theirs be pressed. */
const OVERLAPS = 6;

export interface HairSpan {
  /** Lowest and highest place of hair that light looks at, mm. */
  readonly low: number;
  readonly high: number;
  /** No hair is denser, optical depth to a mm. */
  readonly densest: number;
  /** Texels must not be wider, mm. */
  readonly finest: number;
}

/** Where a cloth has hair that is dense enough to stand in the light's way; null where it has none. */
export function hairSpan(cloth: PackedCloth): HairSpan | null {
  const { tileTable, tilesAcross, tilesUp } = cloth;
  let [low, high] = [Infinity, -Infinity];
  for (let tile = 0; tile < tilesAcross * tilesUp; tile++) {
    const at = tile * TILE_TEXELS * 4;
    const stands = tileTable[at + 10];
    if (!(stands > 0) || tileTable[at + 2] > tileTable[at + 3]) continue;
    low = Math.min(low, tileTable[at + 2] - stands);
    high = Math.max(high, tileTable[at + 3] + stands);
  }
  const { densest, finest } = denseHair(cloth);
  return low < high && densest > 0 ? { low, high, densest: OVERLAPS * densest, finest } : null;
}

/** Least height of hair that ends alike, mm; Infinity where a cloth has no pile. */
export function pileHeightMm(cloth: PackedCloth): number {
  return denseHair(cloth).pileMm;
}

interface DenseHair {
  /** Most optical depth to a mm of any thread's by itself, beside bodies at their contact size. */
  readonly densest: number;
  /** How fine texels it wants, mm. */
  readonly finest: number;
  /** Least height of what ends alike, mm. */
  readonly pileMm: number;
}

const known = new WeakMap<PackedCloth, DenseHair>();

/** Of the hair that stands in the light's way, stray ones left out; asked in every frame, so kept. */
function denseHair(cloth: PackedCloth): DenseHair {
  const before = known.get(cloth);
  if (before) return before;
  const { materialTable, endTable, rowTable, ends, rows } = cloth;
  let [densest, finest, pileMm] = [0, Infinity, Infinity];
  const look = (threads: Float32Array, count: number): void => {
    for (let k = 0; k < count; k++) {
      const at = k * THREAD_TEXELS * 4;
      const hair = (threads[at + 3] * MATERIAL_TEXELS + HAIR_TEXEL) * 4;
      const [height, lattices, coreShare] = materialTable.subarray(hair, hair + 3);
      if (!(height > 0) || lattices % 1 !== 0) continue;
      const [full] = materialTable.subarray(hair + 11, hair + 12);
      const [, depth, thins, sides] = materialTable.subarray(hair + 12, hair + 16);
      const crowd = sides < SIDED_BELOW ? 1 + Math.abs(SIDED - sides) : 1;
      const reach = thins > 0 ? Math.min(height, MEDIUM_SCALES * thins) : height;
      const over = thins > 0 ? thins : reach / Math.max(1, full);
      const core = Math.abs(coreShare) * Math.min(threads[at + 1], threads[at + 2]);
      densest = Math.max(densest, (crowd * depth) / over / core);
      finest = Math.min(finest, thins > 0 ? thins / LEAST_A_SCALE : over / LEAST_A_SHELL);
      if (!(thins > 0)) pileMm = Math.min(pileMm, height);
    }
  };
  look(endTable, ends);
  look(rowTable, rows);
  const found = { densest, finest, pileMm };
  known.set(cloth, found);
  return found;
}

/**
 * Texels to a mm of a part of a cloth whose columns are made so finely; null where that is too coarse for its hair, whose depth
 * is then asked of each thread.
 * @param most texels to a mm that the device takes
 */
export function fieldPerMm({ finest }: HairSpan, columnsPerMm: number, pitchMm: number, most: number): number | null {
  const perMm = Math.min(MOST_A_PITCH / pitchMm, OF_COLUMNS * columnsPerMm, most);
  return perMm * finest >= 1 ? perMm : null;
}

/**
 * How dense hair stands over the part of a cloth that columns are of, in layers (shaders/cloth/hairField.frag.glsl), for rays to
 * the light to pass through. Made in slices, once for a view.
 */
export class HairField {
  private readonly target: THREE.WebGL3DRenderTarget;
  private made = 0;

  /** @param low,high of the part, mm */
  constructor(
    private readonly span: HairSpan,
    private readonly low: readonly [number, number],
    private readonly high: readonly [number, number],
    private readonly perMm: number,
  ) {
    const side = (mm: number) => Math.max(1, Math.floor(mm * perMm));
    const layers = Math.min(MOST_LAYERS, Math.max(LEAST_LAYERS, Math.ceil((span.high - span.low) * perMm)));
    this.target = new THREE.WebGL3DRenderTarget(side(high[0] - low[0]), side(high[1] - low[1]), layers, {
      depthBuffer: false,
      stencilBuffer: false,
      format: THREE.RGBAFormat,
      type: THREE.UnsignedByteType,
      minFilter: THREE.LinearFilter,
      magFilter: THREE.LinearFilter,
      generateMipmaps: false,
    });
  }

  get whole(): boolean {
    return this.made === this.target.depth;
  }

  forget(): void {
    this.made = 0;
  }

  /** Makes some of its layers, at least one, and sets what reads it. */
  draw(renderer: THREE.WebGLRenderer, programs: ClothPrograms, mostTexels: number): void {
    const { target, span, low, high } = this;
    const u = programs.uniforms;
    const upwards = target.depth / (span.high - span.low);
    u.uHairPlace.value.set(low[0], low[1], 1 / (high[0] - low[0]), 1 / (high[1] - low[1]));
    u.uHairHeights.value.set(span.low, span.high, 1 / (span.high - span.low), span.densest);
    // A texture cannot be read while it is drawn to.
    u.uHairField.value = null;
    u.uTargetSize.value.set(target.width, target.height);
    const until = Math.min(
      target.depth,
      this.made + Math.max(1, Math.floor(mostTexels / (target.width * target.height))),
    );
    for (; this.made < until; this.made++) {
      const ends = ENDS_TEXELS / Math.min(this.perMm, upwards);
      u.uFieldLayer.value.set(span.low + (this.made + 0.5) / upwards, span.densest, ends);
      programs.hairField.draw(renderer, target, this.made);
    }
    u.uHairField.value = target.texture;
  }

  dispose(): void {
    this.target.dispose();
  }
}
