/** A GPU that is held longer at a time lets the page stutter; one that is asked more often waits for the page. */
const AIM_MS = 25;
const TOO_LONG_MS = 40;
const SHORT_MS = 20;
const FIRST_RAYS = 32 * 32;
const LEAST_RAYS = 32 * 32;
const MOST_RAYS = 32e6;
/** What a pixel that is done costs, of one that is not: it is read and written. */
const IDLE_COST = 1 / 32;

/** How many rays to ask of the GPU at once, from how long the last ones took. */
export class RayBudget {
  private rays = FIRST_RAYS;
  private fresh = true;
  private ended = 0;

  /** @param lively share of the pixels that still want rays, 0..1 */
  raysWhere(lively: number): number {
    return Math.floor(this.rays / costOf(lively));
  }

  /** @param begunMs when they were asked for; the ones before may have ended later */
  learn(asked: number, lively: number, begunMs: number, endedMs: number): void {
    const elapsed = endedMs - Math.max(begunMs, this.ended);
    this.ended = endedMs;
    const rays = asked * costOf(lively);
    // The first may hold the compiler's time.
    if (this.fresh) this.fresh = false;
    else if (elapsed > TOO_LONG_MS) this.rays = Math.max(LEAST_RAYS, (rays * AIM_MS) / elapsed);
    else if (elapsed < SHORT_MS && rays >= 0.5 * this.rays) this.rays = Math.min(MOST_RAYS, 2 * this.rays);
  }
}

function costOf(lively: number): number {
  return Math.max(IDLE_COST, lively);
}
