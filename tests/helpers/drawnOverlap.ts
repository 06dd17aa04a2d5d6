import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { curveHeight, curveOffset } from '#engine/cloth/curve.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';

/** Points a half pitch, each way. */
const POINTS = 8;

const step = (share: number) => share * share * (3 - 2 * share);

function mix(field: Float32Array, from: number, to: number, share: number): number {
  return field[from] + step(share) * (field[to] - field[from]);
}

/**
 * Deepest vertical overlap of the two threads of a crossing as drawn, puffed sections and sideways offsets included, over
 * D. It overstates that square to the surface.
 */
export function overlapAt(problem: ClothProblem, geometry: ClothGeometry, row: number, end: number): number {
  const { periodRows, periodEnds, warp, weft, endXMm, rowYMm } = geometry;
  const at = (j: number, i: number) => (j % periodRows) * periodEnds + (i % periodEnds);
  const w = problem.yarns[problem.endYarn[end]];
  const f = problem.yarns[problem.rowYarn[row]];
  const d = (w.contactHeightMm + f.contactHeightMm) / 2;
  const sign = isWarpUp(problem.drawdown, row, end) ? 1 : -1;
  let worst = Number.NEGATIVE_INFINITY;
  for (let quarter = 0; quarter < 4; quarter++) {
    const i = end - (quarter & 1);
    const j = row - (quarter >> 1);
    const pitchX = endXMm[i + 1] - endXMm[i];
    const pitchY = rowYMm[j + 1] - rowYMm[j];
    if (!(pitchX > 0 && pitchY > 0)) continue;
    const [w0, w1] = [at(j, end), at(j + 1, end)];
    const [f0, f1] = [at(row, i), at(row, i + 1)];
    for (let a = 0; a <= POINTS; a++) {
      const v = a / POINTS / 2 + (j < row ? 0.5 : 0);
      const y = rowYMm[j] + v * pitchY - rowYMm[row];
      const zw = curveHeight(warp, w0, w1, pitchY, v);
      const wSide = curveOffset(warp, w0, w1, pitchY, v);
      const wWidth = (w.contactWidthMm / 2) * mix(warp.widthFactor, w0, w1, v);
      const wHeight = (w.contactHeightMm / 2) * mix(warp.heightFactor, w0, w1, v);
      for (let b = 0; b <= POINTS; b++) {
        const u = b / POINTS / 2 + (i < end ? 0.5 : 0);
        const besideWarp = (endXMm[i] + u * pitchX - endXMm[end] - wSide) / wWidth;
        const fWidth = (f.contactWidthMm / 2) * mix(weft.widthFactor, f0, f1, u);
        const besideWeft = (y - curveOffset(weft, f0, f1, pitchX, u)) / fWidth;
        if (besideWarp ** 2 >= 1 || besideWeft ** 2 >= 1) continue;
        const fHeight = (f.contactHeightMm / 2) * mix(weft.heightFactor, f0, f1, u);
        const apart = sign * (zw - curveHeight(weft, f0, f1, pitchX, u));
        const need = wHeight * Math.sqrt(1 - besideWarp ** 2) + fHeight * Math.sqrt(1 - besideWeft ** 2);
        worst = Math.max(worst, (need - apart) / d);
      }
    }
  }
  return worst;
}

/**
 * How far two like threads run into each other between a node and the next, as drawn: 1 less the distance of their
 * sections' middles over that at which two such ellipses touch, at most; below 0 where they stay apart. Their slope is
 * left out, which overstates nothing: both lean alike where they touch.
 */
function likeOverlap(
  field: CurveField,
  nodes: readonly [number, number, number, number],
  pitch: number,
  apartMm: number,
  halfWidths: readonly [number, number],
  halfHeights: readonly [number, number],
): number {
  const [a0, a1, b0, b1] = nodes;
  let worst = Number.NEGATIVE_INFINITY;
  for (let n = 0; n <= 2 * POINTS; n++) {
    const u = n / (2 * POINTS);
    const beside = apartMm + curveOffset(field, b0, b1, pitch, u) - curveOffset(field, a0, a1, pitch, u);
    const above = curveHeight(field, b0, b1, pitch, u) - curveHeight(field, a0, a1, pitch, u);
    const widths =
      halfWidths[0] * mix(field.widthFactor, a0, a1, u) + halfWidths[1] * mix(field.widthFactor, b0, b1, u);
    const heights =
      halfHeights[0] * mix(field.heightFactor, a0, a1, u) + halfHeights[1] * mix(field.heightFactor, b0, b1, u);
    worst = Math.max(worst, 1 - Math.hypot(beside / widths, above / heights));
  }
  return worst;
}

/**
 * Overlap of an end with the one `step` further on, from a row to the next; or of a row with the one `step` further on, from an
 * end to the next.
 */
export function likesOverlapAt(
  of: 'ends' | 'rows',
  problem: ClothProblem,
  geometry: ClothGeometry,
  row: number,
  end: number,
  step = 1,
): number {
  const { periodRows, periodEnds, endXMm, rowYMm } = geometry;
  const warp = of === 'ends';
  const at = (j: number, i: number) => (j % periodRows) * periodEnds + (i % periodEnds);
  const pitch = warp ? rowYMm[row + 1] - rowYMm[row] : endXMm[end + 1] - endXMm[end];
  if (!(pitch > 0)) return Number.NEGATIVE_INFINITY;
  const bodies = [0, step].map((k) => problem.yarns[warp ? problem.endYarn[end + k] : problem.rowYarn[row + k]]);
  const beside = warp ? at(row, end + step) : at(row + step, end);
  const besideNext = warp ? at(row + 1, end + step) : at(row + step, end + 1);
  return likeOverlap(
    warp ? geometry.warp : geometry.weft,
    [at(row, end), warp ? at(row + 1, end) : at(row, end + 1), beside, besideNext],
    pitch,
    warp ? endXMm[end + step] - endXMm[end] : rowYMm[row + step] - rowYMm[row],
    [bodies[0].contactWidthMm / 2, bodies[1].contactWidthMm / 2],
    [bodies[0].contactHeightMm / 2, bodies[1].contactHeightMm / 2],
  );
}
