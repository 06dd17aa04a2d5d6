import {
  EXTRA_TEXELS,
  MAX_CANDIDATES,
  MAX_WALK_STEPS,
  ThreadKind,
  TILE_CELLS,
  TILE_TEXELS,
  TileBits,
} from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { BEYOND_MM, ClothReader } from './clothReader.ts';
import { hairOfExtra } from './extraPiece.ts';
import { createHairHit, type HairHit } from './hairCurve.ts';
import { intersectExtra } from './intersectExtra.ts';
import { intersectHair } from './intersectHair.ts';
import { intersectTube } from './intersectTube.ts';
import type { LocalRay } from './tubeLook.ts';
import { createTubeSegment } from './tubeSegment.ts';

/** What a ray met. */
export interface WalkHit {
  kind: ThreadKind;
  /** End, row or extra index. */
  index: number;
  t: number;
  /** Cell along the thread whose segment was met; ends and turns have none. */
  cell: number;
  /** Whether it was a hair of that thread, and if so where on it. */
  isHair: boolean;
  readonly hair: HairHit;
  /** Cells crossed and candidates tried, for measuring. */
  steps: number;
  candidates: number;
}

export function createWalkHit(): WalkHit {
  return {
    kind: ThreadKind.none,
    index: 0,
    t: Number.POSITIVE_INFINITY,
    cell: 0,
    isHair: false,
    hair: createHairHit(),
    steps: 0,
    candidates: 0,
  };
}

/** A cell is taken this much wider, so that a touch at its border is not lost to rounding. */
const CELL_SLACK_MM = 1e-3;
/** Where the bits of lines begin among those of a cell's threads, ends first. */
const LINE_BITS = 16;
const ENDS_BITS = 0xffff;

const segment = createTubeSegment();
const hairHit = createHairHit();
const local: LocalRay = { alongO: 0, alongD: 0, sideO: 0, sideD: 0, upO: 0, upD: 0 };

/**
 * The walk that the shaders make (shaders/cloth/walk.glsl), step for step, in double precision: cell by cell along the
 * ray; in each, the threads near enough to cover it, each on its own segment. A thread that covers a point of a cell is
 * among that cell's candidates (the tile's reach says how far to look), so the walk may stop once its best hit lies
 * before the cell's far side.
 */
export class ClothWalker {
  readonly reader: ClothReader;

  constructor(readonly cloth: PackedCloth) {
    this.reader = new ClothReader(cloth);
  }

  /** First surface that the ray o + t d enters at t in (tMin, tMax). Returns whether there is one. */
  walk(
    out: WalkHit,
    ox: number,
    oy: number,
    oz: number,
    dx: number,
    dy: number,
    dz: number,
    tMin: number,
    tMax: number,
  ): boolean {
    const { cloth, reader } = this;
    const { min, max } = cloth.bounds;
    const meshes = cloth.meshed ? cloth.materialTable : undefined;
    out.kind = ThreadKind.none;
    out.t = Number.POSITIVE_INFINITY;
    out.isHair = false;
    out.steps = 0;
    out.candidates = 0;
    let t0 = tMin;
    let t1 = Number.POSITIVE_INFINITY;
    for (let axis = 0; axis < 3; axis++) {
      const o = axis === 0 ? ox : axis === 1 ? oy : oz;
      const d = axis === 0 ? dx : axis === 1 ? dy : dz;
      const near = 1 / (Math.abs(d) < 1e-12 ? 1e-12 : d);
      const ta = (min[axis] - o) * near;
      const tb = (max[axis] - o) * near;
      t0 = Math.max(t0, Math.min(ta, tb));
      t1 = Math.min(t1, Math.max(ta, tb));
    }
    if (t0 >= Math.min(t1, tMax)) return false;

    let ci = reader.endCellAt(ox + t0 * dx);
    let cj = reader.lineCellAt(oy + t0 * dy);
    let xLo = ci < 0 ? -BEYOND_MM : reader.endX(ci);
    let xHi = ci + 1 < cloth.ends ? reader.endX(ci + 1) : BEYOND_MM;
    let yLo = cj < 0 ? -BEYOND_MM : reader.lineY(cj);
    let yHi = cj + 1 < cloth.lines ? reader.lineY(cj + 1) : BEYOND_MM;
    let best = Math.min(t1, tMax);
    let t = t0;
    let tile = -1;
    let bits = 0;
    let zMin = 0;
    let zMax = 0;
    let zHair = 0;
    // Which of a cell's threads were looked at before it, on the same segments: a look takes in the whole of one.
    let done = 0;
    let marginEnds = 0;
    let marginLines = 0;
    let bodyEnds = 0;
    let bodyLines = 0;

    for (let step = 0; step < MAX_WALK_STEPS; step++) {
      out.steps++;
      const tX = dx > 0 ? (xHi - ox) / dx : dx < 0 ? (xLo - ox) / dx : BEYOND_MM;
      const tY = dy > 0 ? (yHi - oy) / dy : dy < 0 ? (yLo - oy) / dy : BEYOND_MM;
      const tExit = Math.min(tX, tY, t1);
      const here = Math.floor((cj + 1) / TILE_CELLS) * cloth.tilesAcross + Math.floor((ci + 1) / TILE_CELLS);
      if (here !== tile) {
        tile = here;
        done = 0;
        const at = tile * TILE_TEXELS * 4;
        bits = cloth.tileTable[at];
        zMin = cloth.tileTable[at + 2];
        zMax = cloth.tileTable[at + 3];
        zHair = cloth.tileTable[at + 6];
        marginEnds = cloth.tileTable[at + 4] + CELL_SLACK_MM;
        marginLines = cloth.tileTable[at + 5] + CELL_SLACK_MM;
        bodyEnds = cloth.tileTable[at + 8] + CELL_SLACK_MM;
        bodyLines = cloth.tileTable[at + 9] + CELL_SLACK_MM;
      }
      const zA = oz + t * dz;
      const zB = oz + tExit * dz;
      if (Math.max(zA, zB) >= zMin - zHair && Math.min(zA, zB) <= zMax + zHair) {
        const reachEnds = bits & 3;
        const reachLines = (bits >> TileBits.reachLinesShift) & 3;
        const warpFirst = ci - reachEnds + 1;
        const warpCount = cj >= 0 && cj + 1 < cloth.lines ? 2 * reachEnds : 0;
        const lineFirst = cj - reachLines + 1;
        const lineCount = ci >= 0 && ci + 1 < cloth.ends ? 2 * reachLines : 0;
        // What the ray sweeps sideways within this cell.
        const xA = ox + t * dx;
        const xB = ox + tExit * dx;
        const yA = oy + t * dy;
        const yB = oy + tExit * dy;
        const extrasHere = reader.extrasIn(cj, ci);
        // Bodies first: what they hide of the ray needs no look at its hair.
        const threads = warpCount + lineCount;
        const hairs = cloth.hairy && (marginEnds > bodyEnds || marginLines > bodyLines) ? threads : 0;
        const total = threads + hairs + extrasHere;
        for (let turn = 0; turn < MAX_CANDIDATES; turn++) {
          if (turn >= total) break;
          const forHair = turn >= threads && turn < threads + hairs;
          const k = turn < threads ? turn : turn - hairs;
          const ends = forHair ? marginEnds : bodyEnds;
          const rows = forHair ? marginLines : bodyLines;
          if (forHair && (k < warpCount ? marginEnds <= bodyEnds : marginLines <= bodyLines)) continue;
          let kind: ThreadKind = ThreadKind.extra;
          let index = 0;
          let hit = Number.POSITIVE_INFINITY;
          let loaded = false;
          let isHair = false;
          if (k < warpCount) {
            kind = ThreadKind.warp;
            index = warpFirst + k;
            if (index < 0 || index >= cloth.ends) continue;
            const side = index === ci ? xLo : index === ci + 1 ? xHi : reader.endX(index);
            if (Math.min(xA, xB) > side + ends || Math.max(xA, xB) < side - ends) continue;
            if (!forHair && done & (1 << k)) continue;
            if (!forHair) done |= 1 << k;
            loaded = reader.loadWarp(segment, index, cj, yLo, yHi);
            local.alongO = oy;
            local.alongD = dy;
            local.sideO = ox - segment.side;
            local.sideD = dx;
          } else if (k < warpCount + lineCount) {
            kind = ThreadKind.weft;
            const line = lineFirst + k - warpCount;
            if (line < 0 || line >= cloth.lines) continue;
            const side = line === cj ? yLo : line === cj + 1 ? yHi : reader.lineY(line);
            if (Math.min(yA, yB) > side + rows || Math.max(yA, yB) < side - rows) continue;
            const bit = 1 << (k - warpCount + LINE_BITS);
            if (!forHair && done & bit) continue;
            if (!forHair) done |= bit;
            index = reader.rowOnLine(line, ci, ci + 1);
            loaded = reader.loadWeft(segment, index, ci, xLo, xHi);
            local.alongO = ox;
            local.alongD = dx;
            local.sideO = oy - segment.side;
            local.sideD = dy;
          } else {
            index = cloth.extraList[(reader.firstExtra + k - warpCount - lineCount) * 4];
          }
          out.candidates++;
          if (kind === ThreadKind.extra) {
            hit = intersectExtra(cloth.extraTable, index, ox, oy, oz, dx, dy, dz, tMin, best);
            if (cloth.extraTable[index * EXTRA_TEXELS * 4 + 14] > 0) {
              if (hit < best) this.take(out, hit, kind, index, 0);
              best = Math.min(best, hit);
              isHair = hairOfExtra(
                hairHit,
                cloth,
                index,
                [ox, oy, oz],
                [dx, dy, dz],
                Math.max(tMin, t),
                Math.min(best, tExit),
              );
              hit = hairHit.t;
            }
          } else if (loaded) {
            local.upO = oz;
            local.upD = dz;
            if (!forHair) {
              hit = intersectTube(segment, local, tMin, best, meshes);
            } else if (cloth.materialTable[segment.hair] > 0) {
              const owner = index * 2 + (kind === ThreadKind.warp ? 1 : 0);
              // Within this cell: what stands further on is met from there.
              const until = Math.min(best, tExit);
              isHair = intersectHair(hairHit, cloth.materialTable, owner, segment, local, Math.max(tMin, t), until);
              if (isHair) hit = hairHit.t;
            }
          }
          if (hit < best) {
            best = hit;
            this.take(out, hit, kind, index, kind === ThreadKind.warp ? cj : ci, isHair);
          }
        }
      }
      if (best <= tExit || tExit >= t1) break;
      t = tExit;
      if (tX <= tY) {
        done &= ENDS_BITS;
        done = dx > 0 ? done >>> 1 : (done << 1) & ENDS_BITS;
        ci += dx > 0 ? 1 : -1;
        if (dx > 0) {
          xLo = xHi;
          xHi = ci + 1 < cloth.ends ? reader.endX(ci + 1) : BEYOND_MM;
        } else {
          xHi = xLo;
          xLo = ci < 0 ? -BEYOND_MM : reader.endX(ci);
        }
      } else {
        done &= ~ENDS_BITS;
        done = dy > 0 ? (done >>> 1) & ~ENDS_BITS : done << 1;
        cj += dy > 0 ? 1 : -1;
        if (dy > 0) {
          yLo = yHi;
          yHi = cj + 1 < cloth.lines ? reader.lineY(cj + 1) : BEYOND_MM;
        } else {
          yHi = yLo;
          yLo = cj < 0 ? -BEYOND_MM : reader.lineY(cj);
        }
      }
    }
    return out.kind !== ThreadKind.none;
  }

  private take(out: WalkHit, t: number, kind: ThreadKind, index: number, cell: number, isHair = false): void {
    out.t = t;
    out.kind = kind;
    out.index = index;
    out.cell = cell;
    out.isHair = isHair;
    if (isHair) Object.assign(out.hair, hairHit);
  }
}
