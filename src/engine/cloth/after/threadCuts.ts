import type { CutEnd } from '#engine/cloth/clothTypes.ts';
import type { ThreadGrid } from './threadGrid.ts';

/** A piece of thread that is left: its crossings, first and last. */
export interface ThreadPiece {
  readonly warp: boolean;
  readonly thread: number;
  readonly first: number;
  readonly last: number;
}

/** Which stretches of which threads are gone, and how long the ends stand where a thread was cut. */
export class ThreadCuts {
  /** Per crossing: 1 where the stretch from it to the thread's next crossing is gone. */
  readonly warpGone: Uint8Array;
  readonly weftGone: Uint8Array;
  private readonly standing: Map<number, number>;
  /** Per crossing: 1 where the thread is not there any more. */
  private readonly warpEmpty: Uint8Array;
  private readonly weftEmpty: Uint8Array;

  constructor(
    readonly grid: ThreadGrid,
    from?: ThreadCuts,
  ) {
    const flags = (source: Uint8Array | undefined) => source?.slice() ?? new Uint8Array(grid.rows * grid.ends);
    this.warpGone = flags(from?.warpGone);
    this.weftGone = flags(from?.weftGone);
    this.warpEmpty = flags(from?.warpEmpty);
    this.weftEmpty = flags(from?.weftEmpty);
    this.standing = new Map(from?.standing);
  }

  /** The same cuts, to be cut further. */
  copy(): ThreadCuts {
    return new ThreadCuts(this.grid, this);
  }

  private gone(warp: boolean): Uint8Array {
    return warp ? this.warpGone : this.weftGone;
  }

  private empty(warp: boolean, thread: number, crossing: number): void {
    (warp ? this.warpEmpty : this.weftEmpty)[this.grid.at(warp, thread, crossing)] = 1;
  }

  /** The stretch from a crossing to the next. */
  isGone(warp: boolean, thread: number, crossing: number): boolean {
    return this.gone(warp)[this.grid.at(warp, thread, crossing)] === 1;
  }

  private key(warp: boolean, thread: number, crossing: number): number {
    return this.grid.at(warp, thread, crossing) * 4 + (warp ? 2 : 0);
  }

  /**
   * Cuts a thread twice between two crossings and takes away what lies between.
   * @param afterMm, beforeMm how far the ends stand out from the first and from the last crossing
   */
  takeOut(warp: boolean, thread: number, first: number, last: number, afterMm: number, beforeMm: number): void {
    const gone = this.gone(warp);
    for (let crossing = first; crossing < last; crossing++) {
      gone[this.grid.at(warp, thread, crossing)] = 1;
      if (crossing > first) this.empty(warp, thread, crossing);
    }
    this.stand(warp, thread, first, 1, afterMm);
    this.stand(warp, thread, last, -1, beforeMm);
  }

  /** Cuts a thread at a place, mm along it, between a crossing and the next; both ends stand up to the cut. */
  cutAt(warp: boolean, thread: number, crossing: number, placeMm: number): void {
    const { grid } = this;
    const from = grid.placeMm(warp, crossing);
    const to = grid.placeMm(warp, crossing + 1);
    this.takeOut(warp, thread, crossing, crossing + 1, Math.max(0, placeMm - from), Math.max(0, to - placeMm));
  }

  /** Lets a piece end at a crossing before its last one or after its first: what lies beyond stands out with what stood. */
  letStand({ warp, thread, first, last }: ThreadPiece, crossing: number, direction: 1 | -1): void {
    const { grid } = this;
    const end = direction > 0 ? last : first;
    const stood = this.standing.get(this.key(warp, thread, end) + (direction > 0 ? 1 : 0)) ?? 0;
    const beyondMm = Math.abs(grid.placeMm(warp, end) - grid.placeMm(warp, crossing));
    const [from, to] = direction > 0 ? [crossing, last] : [first, crossing];
    const gone = this.gone(warp);
    for (let at = from; at < to; at++) gone[grid.at(warp, thread, at)] = 1;
    for (let at = from; at <= to; at++) if (at !== crossing) this.empty(warp, thread, at);
    this.standing.set(this.key(warp, thread, crossing) + (direction > 0 ? 1 : 0), beyondMm + stood);
  }

  private stand(warp: boolean, thread: number, crossing: number, direction: 1 | -1, lengthMm: number): void {
    const key = this.key(warp, thread, crossing) + (direction > 0 ? 1 : 0);
    this.standing.set(key, Math.min(lengthMm, this.standing.get(key) ?? Infinity));
  }

  /** Takes a whole piece away. */
  drop({ warp, thread, first, last }: ThreadPiece): void {
    const gone = this.gone(warp);
    for (let crossing = first; crossing <= last; crossing++) {
      if (crossing < last) gone[this.grid.at(warp, thread, crossing)] = 1;
      this.empty(warp, thread, crossing);
    }
  }

  /** Whether a thread is still there at one of its crossings. */
  isHere(warp: boolean, thread: number, crossing: number): boolean {
    return (warp ? this.warpEmpty : this.weftEmpty)[this.grid.at(warp, thread, crossing)] === 0;
  }

  /** The pieces of a thread that are left, in order along it. */
  pieces(warp: boolean, thread: number): ThreadPiece[] {
    const [from, to] = this.grid.span(warp, thread);
    const found: ThreadPiece[] = [];
    let first = from;
    for (let crossing = from; crossing <= to; crossing++) {
      if (crossing < to && !this.isGone(warp, thread, crossing)) continue;
      if (first < crossing || this.isHere(warp, thread, crossing)) found.push({ warp, thread, first, last: crossing });
      first = crossing + 1;
    }
    return found;
  }

  /** Every end that stands where a thread was cut, in order of warp, then weft. */
  cutEnds(): CutEnd[] {
    const { grid } = this;
    const found: CutEnd[] = [];
    for (const warp of [true, false]) {
      for (let thread = 0; thread < grid.threads(warp); thread++) {
        const [from, to] = grid.span(warp, thread);
        for (const { first, last } of this.pieces(warp, thread)) {
          for (const [crossing, direction, cut] of [
            [first, -1, first > from],
            [last, 1, last < to],
          ] as const) {
            if (!cut) continue;
            const lengthMm = this.standing.get(this.key(warp, thread, crossing) + (direction > 0 ? 1 : 0));
            found.push({ warp, thread, crossing, direction, lengthMm: lengthMm ?? 0 });
          }
        }
      }
    }
    return found;
  }
}
