import * as THREE from 'three';
import { copyBlock } from './capture.ts';
import type { CaptureOptions, CaptureResult } from './clothViewTypes.ts';
import { PathTracer } from './pathTracer.ts';
import type { PictureDrawer } from './pictureDrawer.ts';
import type { PictureScene } from './pictureScene.ts';
import { withRenderer } from './renderer.ts';

/** Between two looks at what is there so far: each is read back. */
const LOOK_MS = 500;

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
  { onProgress, onShown, signal, drape }: Omit<CaptureOptions, 'reference'> = {},
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
  const soFar = { width, height, pixels };
  let before = 0;
  let looked = performance.now();
  let look: Promise<void> | undefined;
  async function takeBlock(x: number, y: number): Promise<void> {
    withRenderer(renderer, () => {
      tracer.showOpenRound();
      drawer.present(tracer.mean.texture, bytes, blockWidth, blockHeight);
    });
    await renderer.readRenderTargetPixelsAsync(bytes, 0, 0, blockWidth, blockHeight, read);
    copyBlock(pixels, width, height, read, blockWidth, blockHeight, x, y);
    onShown?.(soFar);
  }
  /** While the next rays are followed; one look at a time. */
  function lookAt(x: number, y: number): void {
    if (!onShown || look || performance.now() - looked < LOOK_MS) return;
    look = takeBlock(x, y)
      // A lost context is told by the tracer.
      .catch(() => undefined)
      .finally(() => {
        look = undefined;
        looked = performance.now();
      });
  }
  try {
    for (let y = 0; y < height; y += blockHeight) {
      for (let x = 0; x < width; x += blockWidth) {
        tracer.moveTo(x, y);
        const told = (done: number) => {
          onProgress?.(before + done, wanted);
          lookAt(x, y);
        };
        await tracer.run(samples, { signal, onProgress: told });
        signal?.throwIfAborted();
        await look;
        await takeBlock(x, y);
        before += samples;
      }
    }
  } finally {
    await look;
    tracer.dispose();
    bytes.dispose();
  }
  return { width, height, pixels };
}
