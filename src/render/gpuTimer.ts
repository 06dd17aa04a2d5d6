/** What the last draws took: as far as a page can see, and, where the browser tells, on the GPU itself. */
export interface DrawTime {
  pixels: number;
  elapsedMs: number;
  gpuMs?: number;
}

/** EXT_disjoint_timer_query_webgl2 (Khronos registry); many browsers leave it out. */
interface TimerQueries {
  readonly TIME_ELAPSED_EXT: number;
  readonly GPU_DISJOINT_EXT: number;
}

/** Tells when the GPU has finished what was last asked of it, and how long that took. */
export class GpuTimer {
  private readonly queries: TimerQueries | null;
  private fence: WebGLSync | null = null;
  private query: WebGLQuery | null = null;
  private begun = 0;
  private pixels = 0;
  private finished: DrawTime | null = null;

  constructor(private readonly gl: WebGL2RenderingContext) {
    this.queries = gl.getExtension('EXT_disjoint_timer_query_webgl2') as TimerQueries | null;
  }

  /** Before what is to be timed on the GPU too is issued: one such at a time in a context. Gives the time now, ms. */
  begin(): number {
    this.drop();
    this.query = this.queries && this.gl.createQuery();
    if (this.query && this.queries) this.gl.beginQuery(this.queries.TIME_ELAPSED_EXT, this.query);
    return performance.now();
  }

  /** Marks the end of what was issued since `beginMs`. */
  mark(beginMs: number, pixels: number): void {
    if (this.fence) this.drop();
    this.begun = beginMs;
    this.pixels = pixels;
    if (this.query && this.queries) this.gl.endQuery(this.queries.TIME_ELAPSED_EXT);
    this.fence = this.gl.fenceSync(this.gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    this.gl.flush();
  }

  /** A fence's state changes between tasks only, so ask once a frame. */
  isDone(): boolean {
    if (!this.fence) return true;
    const lost = this.gl.isContextLost();
    if (!lost && this.gl.getSyncParameter(this.fence, this.gl.SYNC_STATUS) !== this.gl.SIGNALED) return false;
    const elapsedMs = performance.now() - this.begun;
    this.finished = lost ? null : { pixels: this.pixels, elapsedMs, gpuMs: this.gpuMs() };
    this.drop();
    return true;
  }

  /** The last finished measurement, once. */
  take(): DrawTime | null {
    const { finished } = this;
    this.finished = null;
    return finished;
  }

  async whenDone(): Promise<void> {
    while (!this.isDone()) await new Promise((resolve) => setTimeout(resolve, 1));
  }

  drop(): void {
    if (this.fence) this.gl.deleteSync(this.fence);
    if (this.query) this.gl.deleteQuery(this.query);
    this.fence = null;
    this.query = null;
  }

  /** Undefined where the time is not known yet or was spoilt, for instance by a change of the GPU's speed. */
  private gpuMs(): number | undefined {
    const { gl, query, queries } = this;
    if (!query || !queries || !gl.getQueryParameter(query, gl.QUERY_RESULT_AVAILABLE)) return undefined;
    if (gl.getParameter(queries.GPU_DISJOINT_EXT)) return undefined;
    return gl.getQueryParameter(query, gl.QUERY_RESULT) / 1e6;
  }
}
