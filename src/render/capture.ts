import * as THREE from 'three';
import { ID_INDEX_BITS } from '#engine/packing/clothBufferLayout.ts';
import { threadOwner } from '#engine/packing/threadOwner.ts';
import type { CaptureOptions, CaptureResult, PictureBuffers } from './clothViewTypes.ts';
import { GpuTimer } from './gpuTimer.ts';
import { FINE_FROM, type PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { PictureTargets } from './pictureTargets.ts';
import { withRenderer } from './renderer.ts';
import { TileSchedule } from './tileSchedule.ts';

/** Largest target a capture draws into; a larger picture is drawn block by block. */
const BLOCK = 1024;

const CONTEXT_LOST =
  'The graphics driver took its context away while the picture was drawn. Draw it again, or with fewer pixels.';

/**
 * A picture of any size, apart from the canvas: blocks of at most 1024², each sampled in timed tiles, so that the page
 * stays alive. The scene's middle and scale hold for the whole picture. Progress counts samples of blocks.
 * @throws the signal's reason when stopped; an error where the context is lost
 */
export async function captureCloth(
  drawer: PictureDrawer,
  scene: PictureScene,
  width: number,
  height: number,
  samples: number,
  halfFloat: boolean,
  { onProgress, signal }: Pick<CaptureOptions, 'onProgress' | 'signal'> = {},
): Promise<CaptureResult> {
  const { renderer, programs } = drawer;
  const gl = renderer.getContext();
  const frozen = { ...scene, fine: samples >= FINE_FROM };
  const pixels = new Uint8ClampedArray(width * height * 4);
  const schedule = new TileSchedule();
  const timer = new GpuTimer(gl as WebGL2RenderingContext);
  const blockWidth = Math.min(BLOCK, width);
  const blockHeight = Math.min(BLOCK, height);
  const targets = new PictureTargets(blockWidth, blockHeight, halfFloat);
  const bytes = new THREE.WebGLRenderTarget(blockWidth, blockHeight, { depthBuffer: false });
  const read = new Uint8Array(blockWidth * blockHeight * 4);
  const wanted = samples * Math.ceil(width / blockWidth) * Math.ceil(height / blockHeight);
  let done = 0;
  let first = true;
  try {
    for (let y0 = 0; y0 < height; y0 += blockHeight) {
      for (let x0 = 0; x0 < width; x0 += blockWidth) {
        for (let sample = 0; sample < samples; sample++) {
          schedule.begin(blockWidth, blockHeight);
          let drawn = true;
          do {
            const begun = performance.now();
            const area = schedule.tile.width * schedule.tile.height;
            withRenderer(renderer, () => {
              // From afar, block by block too: threads of a large picture are more than one texture holds.
              drawer.setScene(frozen, width, height, 1, { x: x0, y: y0, width: blockWidth, height: blockHeight });
              programs.uniforms.uPixelOffset.value.set(x0, y0);
              const weight = sample / (sample + 1);
              drawn = drawer.prepareLight(area);
              if (drawn) {
                drawer.drawTile(targets, schedule.tile, sample, true, targets.meanToBe, targets.meanSoFar, weight);
              }
              programs.uniforms.uPixelOffset.value.set(0, 0);
            });
            timer.mark(begun, area);
            await timer.whenDone();
            const took = timer.take();
            // The first draw may include compiling.
            if (took && !first) schedule.learn(took.pixels, took.elapsedMs);
            first = false;
            signal?.throwIfAborted();
            if (gl.isContextLost()) throw new Error(CONTEXT_LOST);
          } while (!drawn || schedule.next());
          targets.swap();
          done++;
          onProgress?.(done, wanted);
        }
        withRenderer(renderer, () => {
          drawer.present(targets.meanSoFar.texture, bytes, blockWidth, blockHeight);
        });
        await renderer.readRenderTargetPixelsAsync(bytes, 0, 0, blockWidth, blockHeight, read);
        copyBlock(pixels, width, height, read, blockWidth, blockHeight, x0, y0);
      }
    }
  } catch (error) {
    // Reading back from a lost context fails without a reason.
    throw gl.isContextLost() && !signal?.aborted ? new Error(CONTEXT_LOST) : error;
  } finally {
    targets.dispose();
    bytes.dispose();
    drawer.release(frozen);
  }
  return { width, height, pixels };
}

/** Blocks come bottom row first, pictures go top row first. */
export function copyBlock(
  out: Uint8ClampedArray,
  width: number,
  height: number,
  block: Uint8Array,
  blockWidth: number,
  blockHeight: number,
  x0: number,
  y0: number,
): void {
  const columns = Math.min(blockWidth, width - x0);
  const rows = Math.min(blockHeight, height - y0);
  for (let y = 0; y < rows; y++) {
    const from = y * blockWidth * 4;
    out.set(block.subarray(from, from + columns * 4), ((height - 1 - (y0 + y)) * width + x0) * 4);
  }
}

/** Ids, depths and normals of one sample through the pixels' middles. Extras count as the thread they belong to. */
export async function readBuffers(
  drawer: PictureDrawer,
  scene: PictureScene,
  width: number,
  height: number,
  halfFloat: boolean,
  extraTable: Float32Array,
): Promise<PictureBuffers> {
  const { renderer } = drawer;
  const targets = new PictureTargets(width, height, halfFloat);
  const texels = [0, 1, 2].map(() => new Uint8Array(width * height * 4));
  try {
    withRenderer(renderer, () => {
      drawer.setScene({ ...scene, walkAll: true }, width, height, 1);
      drawer.buffer.draw(targets, { x: 0, y: 0, width, height }, 0, true);
    });
    for (let k = 0; k < 3; k++) {
      await renderer.readRenderTargetPixelsAsync(targets.buffer, 0, 0, width, height, texels[k], undefined, k);
    }
  } finally {
    targets.dispose();
  }
  const count = width * height;
  const kind = new Uint8Array(count);
  const index = new Uint32Array(count);
  const owner = new Int32Array(count).fill(-1);
  const depthMm = new Float32Array(texels[1].buffer.slice(0));
  const normal = new Float32Array(count * 3);
  for (let p = 0; p < count; p++) {
    const at = p * 4;
    const id = texels[0][at] | (texels[0][at + 1] << 8) | (texels[0][at + 2] << 16);
    kind[p] = id >> ID_INDEX_BITS;
    index[p] = id & ((1 << ID_INDEX_BITS) - 1);
    if (kind[p] === 0) depthMm[p] = Number.NaN;
    else owner[p] = threadOwner(extraTable, kind[p], index[p]);
    decodeNormal(normal, p * 3, texels[2], at);
  }
  return { width, height, kind, index, owner, depthMm, normal };
}

/** As in shaders/common/encode.glsl. */
function decodeNormal(out: Float32Array, to: number, texels: Uint8Array, at: number): void {
  let x = ((texels[at] | (texels[at + 1] << 8)) / 65535) * 2 - 1;
  let y = ((texels[at + 2] | (texels[at + 3] << 8)) / 65535) * 2 - 1;
  const z = 1 - Math.abs(x) - Math.abs(y);
  if (z < 0) {
    const fold = (1 - Math.abs(y)) * (x >= 0 ? 1 : -1);
    y = (1 - Math.abs(x)) * (y >= 0 ? 1 : -1);
    x = fold;
  }
  const length = Math.hypot(x, y, z);
  out[to] = x / length;
  out[to + 1] = y / length;
  out[to + 2] = z / length;
}
