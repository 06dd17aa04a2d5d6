import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import type { PlanSide } from './planSide.ts';

/**
 * Distance below which neighbours may not come in plan, however much one lies over the other, over the sum of their half
 * widths: their order is kept, since the threads that pass between them are in the way.
 */
const LEAST_DISTANCE_SHARE = 0.1;

/** Solved heights and slopes of a family, and its sections' factors, all over the solution's crossings. */
export interface SideFields {
  readonly heightMm: Float64Array;
  readonly slope: Float64Array;
  readonly widthFactor: Float32Array;
  readonly heightFactor: Float32Array;
}

/** Sections of both systems at the crossings, over the contact section. */
export interface SectionFields {
  readonly warpWidth: Float32Array;
  readonly warpHeight: Float32Array;
  readonly weftWidth: Float32Array;
  readonly weftHeight: Float32Array;
}

export function sideFields(solution: HeightsSolution, sections: SectionFields, warp: boolean): SideFields {
  return warp
    ? {
        heightMm: solution.warpHeightMm,
        slope: solution.warpSlope,
        widthFactor: sections.warpWidth,
        heightFactor: sections.warpHeight,
      }
    : {
        heightMm: solution.weftHeightMm,
        slope: solution.weftSlope,
        widthFactor: sections.weftWidth,
        heightFactor: sections.weftHeight,
      };
}

/** Distance that two ellipses need, centre to centre sideways, whose centres differ by `rise` in height. */
export function besideMm(rise: number, halfWidths: number, halfHeights: number): number {
  const share = rise / halfHeights;
  const least = LEAST_DISTANCE_SHARE * halfWidths;
  return share * share >= 1 ? least : Math.max(least, halfWidths * Math.sqrt(1 - share * share));
}

/**
 * Per node, the distance (mm) that a thread needs to its neighbour there and half a span on either side: as sections stand
 * at their heights. 0 where there is no neighbour.
 */
export function fillNeeded(side: PlanSide, fields: SideFields, needed: Float64Array): void {
  const { threads, lines, threadStep, alongStep, next, first, last, lineMm, contactWidthMm, halfHeightMm } = side;
  const { heightMm, slope, widthFactor, heightFactor } = fields;
  const solved = side.solved;
  needed.fill(0);
  for (let t = 0; t < threads; t++) {
    const u = next[t];
    if (u < 0) continue;
    const from = Math.max(first[t], first[u]);
    const to = Math.min(last[t], last[u]);
    const halfT = contactWidthMm[t] / 2;
    const halfU = contactWidthMm[u] / 2;
    let before = -1;
    let riseBefore = 0;
    let slopeBefore = 0;
    let widthsBefore = 0;
    let heightsBefore = 0;
    const repeats = side.periodAlongMm > 0 && from === 0 && to === lines - 1 && lines > 1;
    // A repeat is gone round by one line more, so that its last span counts at its first line too.
    for (let step = from; step <= to + (repeats ? 1 : 0); step++) {
      const k = step % lines;
      const nt = k * alongStep + t * threadStep;
      const nu = k * alongStep + u * threadStep;
      const at = solved ? solved[nt] : nt;
      const au = solved ? solved[nu] : nu;
      if (at < 0 || au < 0) {
        before = -1;
        continue;
      }
      const rise = heightMm[au] - heightMm[at];
      const lean = slope[au] - slope[at];
      const widths = halfT * widthFactor[at] + halfU * widthFactor[au];
      const heights = halfHeightMm[t] * heightFactor[at] + halfHeightMm[u] * heightFactor[au];
      needed[nt] = Math.max(needed[nt], besideMm(rise, widths, heights));
      if (before >= 0) {
        const p = step < lines ? lineMm[k] - lineMm[k - 1] : side.periodAlongMm - lineMm[lines - 1] + lineMm[0];
        const middle = (rise + riseBefore) / 2 + (p * (slopeBefore - lean)) / 8;
        const clear = besideMm(middle, (widths + widthsBefore) / 2, (heights + heightsBefore) / 2);
        if (clear > needed[nt]) needed[nt] = clear;
        if (clear > needed[before]) needed[before] = clear;
      }
      before = nt;
      riseBefore = rise;
      slopeBefore = lean;
      widthsBefore = widths;
      heightsBefore = heights;
    }
  }
}
