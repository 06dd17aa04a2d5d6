import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { ClothReader } from '#engine/packing/walk/clothReader.ts';
import {
  createSectionValue,
  createTubePoint,
  createTubeSegment,
  footPoint,
  sectionAt,
  type TubeSegment,
  tubePointAt,
} from '#engine/packing/walk/tubeSegment.ts';
import { strandOf } from './clothFixtures.ts';

/** Places looked at along half a span, and round it. */
const ALONG = 6;
const ROUND = 24;
/** Spans either side of a crossing in which what reaches it may lie. */
const REACH = 2;

const point = createTubePoint();
const value = createSectionValue();
const foot = createTubePoint();

/** Segments of one thread, from node to node; null where it is not there. */
interface Run {
  readonly warp: boolean;
  readonly thread: number;
  readonly segments: (TubeSegment | null)[];
}

/**
 * Threads as the picture draws them: the packed curves and sections, bends and wraps limited as the ray meets them. Rows each on
 * a line of its own.
 */
export class DrawnThreads {
  private readonly reader: ClothReader;
  private readonly runs = new Map<number, Run>();

  constructor(
    readonly problem: ClothProblem,
    readonly geometry: ClothGeometry,
    materials: readonly YarnMaterial[] = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.5, 0.5])] })),
  ) {
    this.reader = new ClothReader(packCloth(problem, geometry, materials));
    if (this.reader.cloth.sideBySide) throw new Error('rows lie side by side; give each a line of its own');
  }

  private run(warp: boolean, thread: number): Run | null {
    const { rows, ends } = this.problem;
    if (thread < 0 || thread >= (warp ? ends : rows)) return null;
    const key = 2 * thread + (warp ? 1 : 0);
    let run = this.runs.get(key);
    if (!run) {
      run = { warp, thread, segments: new Array((warp ? rows : ends) - 1) };
      this.runs.set(key, run);
    }
    return run;
  }

  private segment(run: Run, k: number): TubeSegment | null {
    if (k < 0 || k >= run.segments.length) return null;
    const known = run.segments[k];
    if (known !== undefined) return known;
    const out = createTubeSegment();
    const { endXMm, rowYMm } = this.geometry;
    const there = run.warp
      ? this.reader.loadWarp(out, run.thread, k, rowYMm[k], rowYMm[k + 1])
      : this.reader.loadWeft(out, run.thread, k, endXMm[k], endXMm[k + 1]);
    run.segments[k] = there ? out : null;
    return run.segments[k];
  }

  /** How deep (mm) a place (x, y, z of the cloth) lies within a thread; below 0 outside. */
  private depth(run: Run, near: number, x: number, y: number, z: number): number {
    const along = run.warp ? y : x;
    let k = near;
    for (;;) {
      const s = this.segment(run, k);
      if (!s) return -1;
      if (along < s.along) {
        if (k <= 0 || k <= near - REACH) return -1;
        k--;
        if (k < near && this.segment(run, k) && along >= this.segment(run, k)!.along + this.segment(run, k)!.pitch)
          return -1;
        continue;
      }
      if (along > s.along + s.pitch) {
        if (k >= near + REACH) return -1;
        k++;
        continue;
      }
      return depthIn(s, along, (run.warp ? x : y) - s.side, z);
    }
  }

  /** Deepest place of thread a's surface in thread b, over the half span of a from its node `from` towards `to`, mm. */
  private deepest(a: Run, from: number, to: number, b: Run, nearOf: (along: number) => number): number {
    const s = this.segment(a, Math.min(from, to));
    if (!s) return -1;
    let worst = -1;
    for (let n = 0; n <= ALONG; n++) {
      const share = n / ALONG / 2;
      const u = to > from ? share : 1 - share;
      tubePointAt(point, s, u);
      const along = s.along + u * s.pitch;
      const { o, z } = point;
      const wide = point.a * Math.hypot(1, point.oSlope);
      const tall = point.b * Math.hypot(1, point.zSlope);
      for (let m = 0; m < ROUND; m++) {
        const angle = (2 * Math.PI * m) / ROUND;
        let side = wide * Math.cos(angle);
        let up = tall * Math.sin(angle);
        // Out to where the picture has the surface in this plane: leaning sections and bends move it.
        for (let step = 0; step < 6; step++) {
          const out = 1 / Math.sqrt(Math.min(4, Math.max(0.25, sectionOf(s, along, o + side, z + up) + 1)));
          side *= out;
          up *= out;
          if (Math.abs(out - 1) < 2e-3) break;
        }
        side += o;
        up += z;
        const across = side + s.side;
        const [x, y] = a.warp ? [across, along] : [along, across];
        const d = this.depth(b, nearOf(b.warp ? y : x), x, y, up);
        if (d > worst) worst = d;
      }
    }
    return worst;
  }

  private cell(warp: boolean, at: number): number {
    return warp ? this.reader.lineCellAt(at) : this.reader.endCellAt(at);
  }

  /** How deep an end's and a row's surfaces lie in one another within half a span of their crossing, over D. */
  unlikeAt(row: number, end: number): number {
    const w = this.run(true, end)!;
    const f = this.run(false, row)!;
    const near = (warp: boolean) => (at: number) => this.cell(warp, at);
    let worst = -1;
    for (const side of [-1, 1]) {
      worst = Math.max(
        worst,
        this.deepest(w, row, row + side, f, near(false)),
        this.deepest(f, end, end + side, w, near(true)),
      );
    }
    const { yarns, endYarn, rowYarn } = this.problem;
    return (2 * worst) / (yarns[endYarn[end]].contactHeightMm + yarns[rowYarn[row]].contactHeightMm);
  }

  /** The same of an end and the one `step` further on, by a row, or of a row and one further on, by an end. */
  likeAt(of: 'ends' | 'rows', row: number, end: number, step: number): number {
    const warp = of === 'ends';
    const a = this.run(warp, warp ? end : row);
    const b = this.run(warp, (warp ? end : row) + step);
    if (!a || !b) return -1;
    const node = warp ? row : end;
    const near = (at: number) => this.cell(warp, at);
    let worst = -1;
    for (const side of [-1, 1]) {
      worst = Math.max(worst, this.deepest(a, node, node + side, b, near), this.deepest(b, node, node + side, a, near));
    }
    const { yarns, endYarn, rowYarn } = this.problem;
    const yarnOf = (k: number) => yarns[warp ? endYarn[k] : rowYarn[k]];
    return (2 * worst) / (yarnOf(a.thread).contactHeightMm + yarnOf(b.thread).contactHeightMm);
  }
}

function sectionOf(s: TubeSegment, along: number, side: number, up: number): number {
  const u = (along - s.along) / s.pitch;
  const ahead = footPoint(foot, s, u, side, up);
  sectionAt(value, foot, ahead, side, up, 0, 0, 0);
  return value.f;
}

function depthIn(s: TubeSegment, along: number, side: number, up: number): number {
  if (sectionOf(s, along, side, up) >= 0) return -1;
  const { x, y } = value;
  const r = Math.hypot(x, y);
  // On the way out from the middle: exact for a circle, and at the edge of any ellipse.
  return r < 1e-6 ? Math.min(foot.a, foot.b) : ((1 - r) * r) / Math.hypot(x / foot.a, y / foot.b);
}
