import * as THREE from 'three';
import type { Drape } from '#engine/packing/walk/drape.ts';
import { copyBlock } from './capture.ts';
import type { CaptureResult } from './clothViewTypes.ts';
import { PathTracer, type TraceRun } from './pathTracer.ts';
import { type PictureDrawer, type PictureScene, withRenderer } from './pictureDrawer.ts';

/** Largest block traced at once: 16 bytes a pixel for the means. */
const BLOCK = 1024;

/**
 * The reference picture at any size, block after block of at most 1024². Progress counts samples of blocks.
 * @throws the signal's reason when stopped; to stop and go on, trace with `ClothView.traceReference`
 */
export async function captureReference(
  drawer: PictureDrawer,
  scene: PictureScene,
  width: number,
  height: number,
  samples: number,
  { onProgress, signal, drape }: TraceRun & { readonly drape?: Drape } = {},
): Promise<CaptureResult> {
  const { renderer } = drawer;
  const frozen = { ...scene };
  const pixels = new Uint8ClampedArray(width * height * 4);
  const columns = Math.ceil(width / BLOCK);
  const rows = Math.ceil(height / BLOCK);
  const wanted = samples * columns * rows;
  // As even as can be, so that the last ones reach hardly beyond the picture.
  const blockWidth = Math.ceil(width / columns);
  const blockHeight = Math.ceil(height / rows);
  const bytes = new THREE.WebGLRenderTarget(blockWidth, blockHeight, { depthBuffer: false });
  const read = new Uint8Array(blockWidth * blockHeight * 4);
  const first = { pictureWidth: width, pictureHeight: height, x: 0, y: 0, width: blockWidth, height: blockHeight };
  const tracer = new PathTracer(drawer, frozen, first, { drape });
  let before = 0;
  try {
    for (let y = 0; y < height; y += blockHeight) {
      for (let x = 0; x < width; x += blockWidth) {
        tracer.moveTo(x, y);
        await tracer.run(samples, { signal, onProgress: (done) => onProgress?.(before + done, wanted) });
        signal?.throwIfAborted();
        withRenderer(renderer, () => {
          drawer.present(tracer.mean.texture, bytes, blockWidth, blockHeight);
        });
        await renderer.readRenderTargetPixelsAsync(bytes, 0, 0, blockWidth, blockHeight, read);
        copyBlock(pixels, width, height, read, blockWidth, blockHeight, x, y);
        before += samples;
      }
    }
  } finally {
    tracer.dispose();
    bytes.dispose();
  }
  return { width, height, pixels };
}
