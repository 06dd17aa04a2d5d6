import { type ClothGeometry, type ClothProblem, type CurveField, RowEnd } from '#engine/cloth/clothTypes.ts';
import { crossingAt } from '#engine/cloth/heldCrossings.ts';
import { type BackFloat, backFloats } from '#engine/cloth/placed/backFloats.ts';
import { joinOfRow } from '#engine/cloth/placed/joins.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { backFloatWay } from './backFloatWay.ts';
import { cutEndTubes } from './cutEndTubes.ts';
import { type ClothExtras, ExtraTubes, type HalfSection, type ThreadRun } from './extraTubes.ts';
import type { HairInCloth } from './packHair.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import type { Point } from './smoothWay.ts';
import { turnedInTail } from './turnedInTail.ts';

/** Picks within which a weft that left at one edge is looked for again at the same edge. */
const TURN_REACH_ROWS = 8;
/** Where no length is given, a cut thread shows this many of its own widths beyond the cloth. */
const STUB_WIDTHS = 1.5;

/**
 * Turns and tails of wefts, cut ends of warps, and ends that stand where threads were cut after the loom.
 * @param hairs how much of each yarn's section is drawn as body, and how far its hair stands off; none by default
 */
export function buildExtras(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  hairs: Pick<HairInCloth, 'coreShare' | 'hairMm'> = noHair(problem),
): ClothExtras {
  const builder = new ExtraBuilder(problem, geometry, lines, hairs);
  for (let end = 0; end < problem.ends; end++) builder.addWarpEnds(end);
  for (let row = 0; row < problem.rows; row++) builder.addExit(row);
  for (let row = 0; row < problem.rows; row++) builder.addEntry(row);
  builder.addCutEnds();
  return builder.finish();
}

const noHair = ({ yarns }: ClothProblem) => ({
  coreShare: new Float64Array(yarns.length).fill(1),
  hairMm: new Float64Array(yarns.length),
});

/** Of a yarn at a crossing. */
const halfSection = (
  { contactWidthMm, contactHeightMm }: YarnBody,
  { widthFactor, heightFactor }: Pick<CurveField, 'widthFactor' | 'heightFactor'>,
  k: number,
): HalfSection => ({
  halfWidth: (contactWidthMm / 2) * widthFactor[k],
  halfHeight: (contactHeightMm / 2) * heightFactor[k],
});

class ExtraBuilder {
  private readonly tubes: ExtraTubes;
  /** Rows whose entry a turn already joins to an earlier row. */
  private readonly joined: Uint8Array;
  private readonly yarnOf: Uint16Array;
  /** Of rows whose weft goes on behind. */
  private readonly behind: ReadonlyMap<number, BackFloat>;

  constructor(
    private readonly problem: ClothProblem,
    private readonly geometry: ClothGeometry,
    private readonly lines: ClothLines,
    hairs: Pick<HairInCloth, 'coreShare' | 'hairMm'>,
  ) {
    this.tubes = new ExtraTubes(problem, hairs);
    this.joined = new Uint8Array(problem.rows);
    this.yarnOf = yarnOfRows(problem);
    this.behind = new Map(backFloats(problem, geometry).map((float) => [float.row, float]));
  }

  addWarpEnds(end: number): void {
    const { problem, geometry, lines } = this;
    const yarn = problem.yarns[problem.endYarn[end]];
    const x = geometry.endXMm[end];
    const field = geometry.warp;
    for (const direction of [-1, 1]) {
      const line = direction < 0 ? 0 : lines.count - 1;
      if (this.isCutOff(true, end, line, direction)) continue;
      const k = this.node(rowAtLine(problem, lines, line, end), end);
      const length = STUB_WIDTHS * yarn.contactWidthMm;
      const y = lines.yMm[line];
      const px = x + field.offsetMm[k];
      const z = field.heightMm[k];
      const tilt = direction * field.slope[k] * length;
      const lean = direction * field.offsetSlope[k] * length;
      this.tubes.push(
        [
          [px, y, z],
          [px + lean / 2, y + (direction * length) / 2, z + tilt / 2],
          // A cut end relaxes back towards the mid-surface.
          [px + lean * 0.7, y + direction * length, z + tilt * 0.7],
        ],
        halfSection(yarn, field, k),
        end * 2 + 1,
        { alongMm: y, sense: direction },
      );
    }
  }

  /** Where a row's weft leaves: a turn to the row that takes it up again, else a tail. */
  addExit(row: number): void {
    const { problem } = this;
    const side = problem.rowEntersRight[row] ? -1 : 1;
    if (this.isCutOff(false, row, this.edgeEnd(row, side), side)) return;
    const how = problem.rowEnd[row];
    const behind = this.behind.get(row);
    if (behind) {
      this.joined[behind.next] = 1;
      // Up by an edge that it shares with its next row it turns as any weft does.
      if (behind.fromEnd === behind.toEnd) this.addTurn(row, behind.next, side);
      else this.addBackFloat(behind, side);
      return;
    }
    const next = how === RowEnd.cut ? -1 : this.findContinuation(row, side);
    if (next >= 0) {
      this.joined[next] = 1;
      this.addTurn(row, next, side);
    } else {
      this.addTail(row, side, problem.rowTailMm[row]);
    }
  }

  addEntry(row: number): void {
    const side = this.problem.rowEntersRight[row] ? 1 : -1;
    if (this.isCutOff(false, row, this.edgeEnd(row, side), side)) return;
    if (!this.joined[row]) this.addTail(row, side, this.problem.rowTailMm[row]);
  }

  addCutEnds(): void {
    const { problem, geometry, lines } = this;
    for (const cutEnd of geometry.cutEnds ?? []) {
      const owner = cutEnd.thread * 2 + (cutEnd.warp ? 1 : 0);
      const start = (cutEnd.warp ? lines.yMm : geometry.endXMm)[cutEnd.crossing];
      let run: ThreadRun = { alongMm: start, sense: cutEnd.direction };
      const tubes = cutEndTubes(problem, geometry, lines, cutEnd);
      for (const [k, tube] of tubes.entries()) {
        // Of an opened end one ply keeps the thread's hair.
        const next = this.tubes.push(tube.points, tube, owner, run, k < 2, k === 0 && tubes.length > 1);
        if (k === 0) run = next;
      }
    }
  }

  /** Whether a thread's outermost stretch on a side has been cut away, and what ran out of the cloth there with it. */
  private isCutOff(warp: boolean, thread: number, crossing: number, side: number): boolean {
    const { gone } = warp ? this.geometry.warp : this.geometry.weft;
    if (!gone) return false;
    const from = side < 0 ? crossing : crossing - 1;
    if (from < 0) return false;
    return (
      gone[warp ? this.node(rowAtLine(this.problem, this.lines, from, thread), thread) : this.node(thread, from)] === 1
    );
  }

  finish(): ClothExtras {
    return this.tubes.finish();
  }

  private findContinuation(row: number, side: number): number {
    const { problem } = this;
    const edge = this.edgeEnd(row, side);
    const last = Math.min(problem.rows - 1, row + TURN_REACH_ROWS);
    for (let other = row + 1; other <= last; other++) {
      const enters = problem.rowEntersRight[other] ? 1 : -1;
      if (this.yarnOf[other] === this.yarnOf[row] && enters === side && !this.joined[other]) {
        const otherEdge = this.edgeEnd(other, side);
        if (this.isCutOff(false, other, otherEdge, side)) continue;
        // A weft cut at both edges goes on from none, unless the one before it says that it turns.
        if (problem.rowEnd[other] === RowEnd.cut && problem.rowEnd[row] !== RowEnd.turn) continue;
        if (Math.abs(otherEdge - edge) <= 3) return other;
      }
    }
    return -1;
  }

  private addTurn(row: number, next: number, side: number): void {
    const { problem, geometry } = this;
    const a = this.leave(row, side);
    const b = this.leave(next, side);
    const yarn = problem.yarns[problem.rowYarn[row]];
    const edge = this.edgeEnd(row, side);
    const endYarn = problem.yarns[problem.endYarn[edge]];
    // The loop lies against the outermost end's flank.
    const edgeX = Math.max(side * geometry.endXMm[edge], side * geometry.endXMm[this.edgeEnd(next, side)]);
    let loopX = side * (edgeX + (endYarn.contactWidthMm + yarn.contactWidthMm) / 2);
    // Linked, it goes out before the other's turn, past the middle of the room, and comes back behind the next.
    let heights: number[] | undefined;
    const join = joinOfRow(problem, row);
    if (join?.kind === 'interlock') {
      const other = problem.yarns[problem.rowYarn[join.beside]];
      loopX = (geometry.endXMm[join.leftEnd] + geometry.endXMm[join.rightEnd] + side * yarn.contactWidthMm) / 2;
      // Half way out each weft has gone half of both heights from the middle, so that they touch: z(½) = ¼ start + ½ control + ¼ turn.
      const apart = (yarn.contactHeightMm + other.contactHeightMm) / 2;
      const level = (a.z + b.z) / 2;
      heights = [1.5 * level - a.z / 2 + apart, 1.5 * level - b.z / 2 - apart];
    }
    heights ??= [a, b].map((from) => from.z + from.slope * Math.abs(loopX - from.x));
    const pa: Point = [loopX, a.y + a.lean * Math.abs(loopX - a.x), heights[0]];
    const pb: Point = [loopX, b.y + b.lean * Math.abs(loopX - b.x), heights[1]];
    const middle: Point = [loopX, (pa[1] + pb[1]) / 2, (pa[2] + pb[2]) / 2];
    for (const [from, over, owner] of [[a, pa, row * 2] as const, [b, pb, next * 2] as const]) {
      this.tubes.push([[from.x, from.y, from.z], over, middle], from, owner, { alongMm: from.x, sense: side });
    }
  }

  private addBackFloat(float: BackFloat, side: number): void {
    const { row, next } = float;
    const a = this.leave(row, side);
    const b = this.leave(next, this.problem.rowEntersRight[next] ? 1 : -1);
    const way = backFloatWay(this.problem, this.geometry, float, a, b);
    this.tubes.pushWay(way, a, row * 2, { alongMm: a.x, sense: side });
  }

  private addTail(row: number, side: number, tailMm: number): void {
    const a = this.leave(row, side);
    const turnedIn = turnedInTail(this.problem, this.geometry, this.lines, { row, side, from: a });
    const run = { alongMm: a.x, sense: side };
    this.tubes.pushWay(turnedIn, a, row * 2, run);
    if (turnedIn.length > 0) return;
    const length = Math.max(tailMm, STUB_WIDTHS * 2 * a.halfWidth);
    // A long tail settles towards the mid-surface; a stub keeps the direction in which it left.
    const settle = Math.min(1, a.halfWidth / length);
    const opens = this.opens(row);
    this.tubes.push(
      [
        [a.x, a.y, a.z],
        [a.x + (side * length) / 2, a.y + a.lean * length * 0.5 * settle, a.z + a.slope * length * 0.5 * settle],
        [a.x + side * length, a.y + a.lean * length * settle, a.z + a.slope * length * 0.7 * settle],
      ],
      { halfWidth: opens * a.halfWidth, halfHeight: a.halfHeight / opens },
      row * 2,
      run,
    );
  }

  /** How much wider a strip or loose fibre lies where no end holds it, and so much lower; other yarns keep their section. */
  private opens(row: number): number {
    const { shape, looseFibre, bodyWidthMm, contactWidthMm } = this.problem.yarns[this.problem.rowYarn[row]];
    return shape === 'strip' || looseFibre ? bodyWidthMm / contactWidthMm : 1;
  }

  private edgeEnd(row: number, side: number): number {
    return side > 0 ? this.problem.rowLast[row] : this.problem.rowFirst[row];
  }

  private node(row: number, end: number): number {
    return crossingAt(this.geometry, row, end);
  }

  /** Where and how a row's weft passes its last end on a side; slopes along the outward direction. */
  private leave(row: number, side: number) {
    const { problem, geometry } = this;
    const end = this.edgeEnd(row, side);
    const k = this.node(row, end);
    const yarn = problem.yarns[problem.rowYarn[row]];
    const field = geometry.weft;
    return {
      x: geometry.endXMm[end],
      y: this.lines.yMm[this.lines.lineOfRow[row]] + field.offsetMm[k],
      z: field.heightMm[k],
      slope: side * field.slope[k],
      lean: side * field.offsetSlope[k],
      ...halfSection(yarn, field, k),
    };
  }
}
