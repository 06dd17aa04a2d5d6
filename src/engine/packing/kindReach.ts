import { BEND_SHARE } from '#engine/cloth/bend.ts';
import { type BandKinds, KIND_NUMBERS } from '#engine/cloth/kinds/kindFields.ts';
import { createSegmentNodes, range, segmentRange } from './curveBounds.ts';
import type { ThreadRanges } from './tileReach.ts';

/** Stretches whose spaces differ by less than this share are measured once. */
const SPACE_STEP = 2e-4;
/** So many of these are compared with; a reed's marks come again sooner. */
const MOST_FIRSTS = 32;
/** By so many times that share of its own extent a range is widened for it: slopes go with two spaces, sections square to them with their squares. */
const SLACK = 8 * SPACE_STEP;

const _segment = createSegmentNodes();

/** Stretches between the threads that a family crosses: which are as long, and have as much space about both ends. */
export interface Stretches {
  /** Of each stretch, the first that is like it. */
  readonly like: Int32Array;
  readonly pitchMm: Float64Array;
  /** One over the space about each thread. */
  readonly perMm: Float64Array;
}

export function stretchesOf(positionMm: ArrayLike<number>, perMm: Float64Array): Stretches {
  const count = Math.max(0, perMm.length - 1);
  const pitchMm = Float64Array.from({ length: count }, (_, k) => positionMm[k + 1] - positionMm[k]);
  const alike = (a: number, b: number) => Math.abs(a - b) <= SPACE_STEP * a;
  const firsts: number[] = [];
  const like = Int32Array.from({ length: count }, (_, k) => {
    const known = firsts.findLast(
      (first) =>
        alike(pitchMm[first], pitchMm[k]) && alike(perMm[first], perMm[k]) && alike(perMm[first + 1], perMm[k + 1]),
    );
    if (known !== undefined) return known;
    if (firsts.push(k) > MOST_FIRSTS) firsts.shift();
    return k;
  });
  return { like, pitchMm, perMm };
}

/**
 * Ranges of one family's surfaces over stretches from a crossing of one kind to one of another: of each kind the last is kept,
 * for most come again.
 */
export class KindReach {
  private readonly next: Int32Array;
  private readonly stretch: Int32Array;
  private readonly yarn: Int32Array;
  /** Sideways and in height, from and to, mm. */
  private readonly ranges: Float64Array;
  private readonly known: Float32Array;

  /**
   * @param from where the family's numbers begin in a kind's
   * @param straight no thread of the family leaves its line sideways
   * @param halfWidthMm of each yarn, as its height
   */
  constructor(
    { known }: BandKinds,
    private readonly from: number,
    private readonly straight: boolean,
    private readonly halfWidthMm: readonly number[],
    private readonly halfHeightMm: readonly number[],
    private readonly stretches: Stretches,
  ) {
    const kinds = known.length / KIND_NUMBERS;
    this.known = known;
    this.next = new Int32Array(kinds).fill(-1);
    this.stretch = new Int32Array(kinds);
    this.yarn = new Int32Array(kinds);
    this.ranges = new Float64Array(4 * kinds);
  }

  /**
   * Takes the range of stretch number `stretch` into a thread's.
   * @param factor how much wider unevenness makes the thread there at most; it is never thicker for it
   */
  add(into: ThreadRanges, thread: number, kind: number, next: number, stretch: number, yarn: number, factor: number) {
    const like = this.stretches.like[stretch];
    if (this.next[kind] !== next || this.stretch[kind] !== like || this.yarn[kind] !== yarn)
      this.measure(kind, next, like, yarn);
    const { ranges } = this;
    const at = 4 * kind;
    let from = ranges[at];
    let to = ranges[at + 1];
    if (factor > 1) {
      // Half an extent is at least as much as the section takes; where the thread bends, that grows with the square at most.
      const more = (factor - 1) * (this.straight ? 1 : 1 + BEND_SHARE * factor) * (to - from) * 0.5;
      from -= more;
      to += more;
    }
    if (from < into.from[thread]) into.from[thread] = from;
    if (to > into.to[thread]) into.to[thread] = to;
    if (ranges[at + 2] < into.lo[thread]) into.lo[thread] = ranges[at + 2];
    if (ranges[at + 3] > into.hi[thread]) into.hi[thread] = ranges[at + 3];
  }

  private measure(kind: number, next: number, stretch: number, yarn: number): void {
    const { known, from, straight, stretches, ranges } = this;
    this.next[kind] = next;
    this.stretch[kind] = stretch;
    this.yarn[kind] = yarn;
    const at = KIND_NUMBERS * kind + from;
    const to = KIND_NUMBERS * next + from;
    const per0 = stretches.perMm[stretch];
    const per1 = stretches.perMm[stretch + 1];
    const half = this.halfWidthMm[yarn];
    const halfHeight = this.halfHeightMm[yarn];
    _segment.pitchMm = stretches.pitchMm[stretch];
    if (straight) {
      range.hi = half * Math.max(known[at + 6], known[to + 6]);
      range.lo = -range.hi;
    } else {
      _segment.v0 = known[at + 2];
      _segment.s0 = known[at + 3] * per0;
      _segment.v1 = known[to + 2];
      _segment.s1 = known[to + 3] * per1;
      _segment.wrapStart = 0;
      _segment.wrapEnd = 0;
      _segment.half0 = half * known[at + 6];
      _segment.half1 = half * known[to + 6];
      segmentRange(_segment);
      widen();
    }
    ranges[4 * kind] = range.lo;
    ranges[4 * kind + 1] = range.hi;
    _segment.v0 = known[at];
    _segment.s0 = known[at + 1] * per0;
    _segment.v1 = known[to];
    _segment.s1 = known[to + 1] * per1;
    _segment.wrapStart = known[at + 4];
    _segment.wrapEnd = known[at + 5];
    _segment.half0 = halfHeight * known[at + 7];
    _segment.half1 = halfHeight * known[to + 7];
    segmentRange(_segment);
    widen();
    ranges[4 * kind + 2] = range.lo;
    ranges[4 * kind + 3] = range.hi;
  }
}

function widen(): void {
  const more = SLACK * (range.hi - range.lo);
  range.lo -= more;
  range.hi += more;
}
