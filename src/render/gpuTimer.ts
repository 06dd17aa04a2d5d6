/** Tells when the GPU has finished what was last asked of it, and how long that took as far as a page can see. */
export class GpuTimer {
  private fence: WebGLSync | null = null;
  private begun = 0;
  private pixels = 0;
  private finished: { pixels: number; elapsedMs: number } | null = null;

  constructor(private readonly gl: WebGL2RenderingContext) {}

  /** Marks the end of what was issued since `beginMs`. */
  mark(beginMs: number, pixels: number): void {
    this.drop();
    this.begun = beginMs;
    this.pixels = pixels;
    this.fence = this.gl.fenceSync(this.gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    this.gl.flush();
  }

  /** A fence's state changes between tasks only, so ask once a frame. */
  isDone(): boolean {
    if (!this.fence) return true;
    const lost = this.gl.isContextLost();
    if (!lost && this.gl.getSyncParameter(this.fence, this.gl.SYNC_STATUS) !== this.gl.SIGNALED) return false;
    this.finished = lost ? null : { pixels: this.pixels, elapsedMs: performance.now() - this.begun };
    this.drop();
    return true;
  }

  /** The last finished measurement, once. */
  take(): { pixels: number; elapsedMs: number } | null {
    const { finished } = this;
    this.finished = null;
    return finished;
  }

  async whenDone(): Promise<void> {
    while (!this.isDone()) await new Promise((resolve) => setTimeout(resolve, 1));
  }

  drop(): void {
    if (this.fence) this.gl.deleteSync(this.fence);
    this.fence = null;
  }
}
