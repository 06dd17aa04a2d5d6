import { describe, expect, it } from 'vitest';
import { MOVING_MS, MovingScale } from '#render/movingScale.ts';

const PIXELS = 1920 * 1080;

/** A GPU that takes a time for each pixel; what it is given to draw depends on what it took before. */
function settle(scale: MovingScale, msAtFullSize: number, frames = 12): void {
  for (let frame = 0; frame < frames; frame++) {
    const pixels = PIXELS * scale.scale ** 2;
    const gpuMs = (msAtFullSize * pixels) / PIXELS;
    scale.learn({ pixels, elapsedMs: 17, gpuMs }, PIXELS);
  }
}

describe('pixels of a moving picture', () => {
  for (const ms of [3, 10.7, 19, 26, 60]) {
    it(`keeps ${ms} ms at full size within ${MOVING_MS} ms, and wastes less than half of that`, () => {
      const scale = new MovingScale();
      settle(scale, ms);
      const taken = ms * scale.scale ** 2;
      expect(taken).toBeLessThanOrEqual(MOVING_MS);
      if (ms > MOVING_MS) expect(taken).toBeGreaterThan(MOVING_MS / 2);
      else expect(scale.scale).toBe(1);
    });
  }

  it('draws more pixels again once they are cheap', () => {
    const scale = new MovingScale();
    settle(scale, 26);
    settle(scale, 4, 20);
    expect(scale.scale).toBe(1);
  });

  it('does not go to and fro where a size just fits', () => {
    const scale = new MovingScale();
    settle(scale, 10.7);
    const seen = new Set<number>();
    for (let frame = 0; frame < 40; frame++) {
      settle(scale, frame % 2 ? 10.4 : 11.2, 1);
      seen.add(scale.scale);
    }
    expect(seen.size).toBe(1);
  });

  it('does not try a size again and again where coarser pixels are cheaper each', () => {
    const scale = new MovingScale();
    let tooLong = 0;
    for (let frame = 0; frame < 300; frame++) {
      // Threads are walked at full size alone; anything coarser is the far picture.
      const msAtFullSize = scale.scale === 1 ? 29 : 4;
      if (msAtFullSize * scale.scale ** 2 > MOVING_MS) tooLong++;
      settle(scale, msAtFullSize, 1);
    }
    expect(tooLong).toBeLessThanOrEqual(300 / 30);
    expect(scale.scale).toBeLessThan(1);
    expect(scale.scale).toBeGreaterThan(0.8);
  });

  it("goes by the page's own clock where the GPU tells no time", () => {
    const scale = new MovingScale();
    scale.learn({ pixels: PIXELS, elapsedMs: 90 }, PIXELS);
    scale.learnPass(90);
    expect(scale.scale).toBeLessThan(1);
  });
});
