import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** A round, firm yarn of the given width; heights and widths alike. */
export function roundBody(id: string, diameterMm: number, bendingNmm2: number, tex = 100): YarnBody {
  return {
    id,
    tex,
    shape: 'round',
    plies: 2,
    freeWidthMm: diameterMm,
    bodyWidthMm: diameterMm,
    bodyHeightMm: diameterMm,
    contactWidthMm: diameterMm,
    contactHeightMm: diameterMm,
    bendingNmm2,
    bendingRangeNmm2: [bendingNmm2, bendingNmm2],
    // Hardly gives.
    contactStiffnessN: 1000,
    twistAngleRad: 0.35,
    twistTurnsPerM: 260,
    twistDirection: 'S',
    strands: [id],
  };
}

/** A weave repeated over a cloth of rows × ends. */
export function repeatWeave(weave: Drawdown, rows: number, ends: number): Drawdown {
  const out = createDrawdown(rows, ends);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) setWarpUp(out, j, i, isWarpUp(weave, j % weave.rows, i % weave.ends));
  }
  return out;
}

export interface ProblemOptions {
  readonly weave: Drawdown;
  readonly rows: number;
  readonly ends: number;
  readonly endsPerCm: number;
  readonly warp: readonly YarnBody[];
  readonly weft: readonly YarnBody[];
  readonly endTensionN?: number;
  readonly firmness?: number;
  readonly scatterShare?: number;
  readonly fixedPicksPerCm?: number;
  readonly seed?: number;
}

/** An ordinary cloth: every row right across, ends evenly spaced, yarns repeating in the order given. */
export function clothProblem(options: ProblemOptions): ClothProblem {
  const { rows, ends, warp, weft } = options;
  const pitchMm = 10 / options.endsPerCm;
  return {
    rows,
    ends,
    drawdown: repeatWeave(options.weave, rows, ends),
    yarns: [...warp, ...weft],
    endYarn: Uint16Array.from({ length: ends }, (_, i) => i % warp.length),
    rowYarn: Uint16Array.from({ length: rows }, (_, j) => warp.length + (j % weft.length)),
    rowPick: Uint32Array.from({ length: rows }, (_, j) => j),
    rowFirst: new Uint32Array(rows),
    rowLast: new Uint32Array(rows).fill(ends - 1),
    rowEntersRight: Uint8Array.from({ length: rows }, (_, j) => j % 2),
    rowEnd: new Uint8Array(rows),
    rowTailMm: new Float32Array(rows),
    endXMm: Float64Array.from({ length: ends }, (_, i) => i * pitchMm),
    endTensionN: new Float64Array(ends).fill(options.endTensionN ?? 0.6),
    rowTensionN: new Float64Array(rows).fill(0.06),
    beat: {
      firmness: new Float64Array(rows).fill(options.firmness ?? 0.7),
      scatterShare: options.scatterShare ?? 0,
      seed: options.seed ?? 1,
      ...(options.fixedPicksPerCm === undefined ? {} : { fixedPicksPerCm: options.fixedPicksPerCm }),
    },
  };
}
