import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { curveHeight, curveOffset, sectionStep } from '#engine/cloth/curve.ts';
import { rowStart } from '#engine/cloth/heldCrossings.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';

/** Shares of one face that are warp, weft and open. */
export interface Cover {
  readonly warp: number;
  readonly weft: number;
  readonly open: number;
}

const POINTS_PER_CELL = 24;

/** Points between two pauses: a few milliseconds of work. */
const POINTS_PER_PAUSE = 4_000;

function between(factor: Float32Array, from: number, to: number, share: number): number {
  return factor[from] + share * (factor[to] - factor[from]);
}

/** Threads on either side of the cell that may cover it. */
const REACH = 3;

interface Top {
  face: number;
  back: number;
  faceIsWarp: boolean;
  backIsWarp: boolean;
  covered: boolean;
}

function meet(top: Top, centre: number, half: number, isWarp: boolean): void {
  if (!top.covered || centre + half > top.face) {
    top.face = centre + half;
    top.faceIsWarp = isWarp;
  }
  if (!top.covered || centre - half < top.back) {
    top.back = centre - half;
    top.backIsWarp = isWarp;
  }
  top.covered = true;
}

const _top: Top = { face: 0, back: 0, faceIsWarp: false, backIsWarp: false, covered: false };

/**
 * Cover of both faces, seen square-on, by looking down on evenly spread points of the drawn threads (vertical
 * sections). Pauses now and then. Shares are within about 1/√points. Converges on the handbook's Kw + Kf − Kw·Kf for straight threads.
 */
export function* sampleCover(
  problem: ClothProblem,
  geometry: ClothGeometry,
  mostPoints: number,
): Generator<void, { face: Cover; back: Cover }> {
  const { rows, ends, periodEnds, endXMm, rowYMm, warp, weft, byKinds } = geometry;
  const looks = byKinds?.held.looks;
  const face = { warp: 0, weft: 0, open: 0 };
  const back = { warp: 0, weft: 0, open: 0 };
  let total = 0;
  const points = Math.min(mostPoints, POINTS_PER_CELL * Math.max(0, rows - 1) * Math.max(0, ends - 1));
  for (let point = 1; point <= points; point++) {
    if (point % POINTS_PER_PAUSE === 0) yield;
    const across = evenX(point) * (ends - 1);
    const up = evenY(point) * (looks ? looks.length : rows - 1);
    const end = Math.floor(across);
    const at = Math.floor(up);
    const row = looks ? looks[at] : at;
    const u = across - end;
    const v = up - at;
    const stepU = sectionStep(u);
    const stepV = sectionStep(v);
    const stepX = endXMm[end + 1] - endXMm[end];
    const stepY = rowYMm[row + 1] - rowYMm[row];
    if (!(stepY > 0)) continue;
    const here = rowStart(geometry, row);
    const above = rowStart(geometry, row + 1);
    const x = endXMm[end] + u * stepX;
    const y = rowYMm[row] + v * stepY;
    _top.covered = false;
    for (let e = Math.max(0, end - REACH + 1); e <= Math.min(ends - 1, end + REACH); e++) {
      const k = here + (e % periodEnds);
      const l = above + (e % periodEnds);
      const body = problem.yarns[problem.endYarn[e]];
      const width = (body.contactWidthMm / 2) * between(warp.widthFactor, k, l, stepV);
      const beside = (x - endXMm[e] - curveOffset(warp, k, l, stepY, v)) / width;
      if (beside * beside >= 1) continue;
      const height = (body.contactHeightMm / 2) * between(warp.heightFactor, k, l, stepV);
      meet(_top, curveHeight(warp, k, l, stepY, v), height * Math.sqrt(1 - beside * beside), true);
    }
    for (let r = Math.max(0, row - REACH + 1); r <= Math.min(rows - 1, row + REACH); r++) {
      if (end < problem.rowFirst[r] || end >= problem.rowLast[r]) continue;
      const base = rowStart(geometry, r);
      const k = base + (end % periodEnds);
      const l = base + ((end + 1) % periodEnds);
      const body = problem.yarns[problem.rowYarn[r]];
      const width = (body.contactWidthMm / 2) * between(weft.widthFactor, k, l, stepU);
      const beside = (y - rowYMm[r] - curveOffset(weft, k, l, stepX, u)) / width;
      if (beside * beside >= 1) continue;
      const height = (body.contactHeightMm / 2) * between(weft.heightFactor, k, l, stepU);
      meet(_top, curveHeight(weft, k, l, stepX, u), height * Math.sqrt(1 - beside * beside), false);
    }
    const area = stepX * stepY;
    total += area;
    if (!_top.covered) {
      face.open += area;
      back.open += area;
      continue;
    }
    face[_top.faceIsWarp ? 'warp' : 'weft'] += area;
    back[_top.backIsWarp ? 'warp' : 'weft'] += area;
  }
  const share = (cover: Cover): Cover =>
    total > 0
      ? { warp: cover.warp / total, weft: cover.weft / total, open: cover.open / total }
      : { warp: 0, weft: 0, open: 1 };
  return { face: share(face), back: share(back) };
}
