import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { crushLawOf, softnessMmPerN } from '#engine/yarn/compression.ts';
import { bendingInPlace } from '#engine/yarn/set.ts';

/** Where all threads of a cloth lie, and the fields of its repeat, as in `ClothGeometry`. */
export interface ApartGeometry {
  readonly periodRows: number;
  readonly periodEnds: number;
  readonly endXMm: Float32Array | Float64Array;
  readonly rowYMm: Float32Array | Float64Array;
  readonly warp: CurveField;
  readonly weft: CurveField;
}

/** One family of threads where they are kept apart; nodes of the repeat, row-major as in the fields. */
export interface ApartFamily {
  readonly warp: boolean;
  readonly field: CurveField;
  readonly threads: number;
  readonly lines: number;
  /** Where each thread lies, and how far on the repeat comes again, 0 where it does not. */
  readonly positionMm: Float64Array;
  readonly turnMm: number;
  /** Heights and offsets as they were found, mm: parting moves nothing far from there. */
  readonly foundHeightMm: Float32Array;
  readonly foundOffsetMm: Float32Array;
  /** From a line that crosses them to the next, 0 where there is none. */
  readonly pitchMm: Float64Array;
  readonly threadStep: number;
  readonly lineStep: number;
  readonly halfWidthMm: Float64Array;
  readonly halfHeightMm: Float64Array;
  /** Least area of a section over its contact area: fibres lie no closer. */
  readonly leastArea: Float64Array;
  /** How far a section gives under unit force, and a thread's bend, mm/N. */
  readonly giveMmPerN: Float64Array;
  readonly bendMmPerN: Float64Array;
}

interface Lines {
  readonly positionMm: Float64Array;
  readonly pitchMm: Float64Array;
  readonly turnMm: number;
}

/** Of the repeats one amid the cloth: at its start rows lie otherwise. */
function linesOf(positionMm: Float32Array | Float64Array, period: number): Lines {
  const count = positionMm.length;
  const repeats = period < count;
  const first = repeats ? period * Math.round((count - period - 1) / 2 / period) : 0;
  const start = first + period < count ? first : 0;
  const at = (k: number) => positionMm[start + k];
  return {
    positionMm: Float64Array.from({ length: period }, (_, k) => at(k) - at(0)),
    pitchMm: Float64Array.from({ length: period }, (_, k) => (repeats || k + 1 < period ? at(k + 1) - at(k) : 0)),
    turnMm: repeats ? at(period) - at(0) : 0,
  };
}

/** Both families of a geometry's repeat. */
export function apartFamilies(
  problem: ClothProblem,
  { periodRows, periodEnds, endXMm, rowYMm, warp, weft }: ApartGeometry,
): { warp: ApartFamily; weft: ApartFamily } {
  const ends = linesOf(endXMm, periodEnds);
  const rows = linesOf(rowYMm, periodRows);
  return {
    warp: {
      warp: true,
      field: warp,
      foundHeightMm: warp.heightMm.slice(),
      foundOffsetMm: warp.offsetMm.slice(),
      threadStep: 1,
      lineStep: periodEnds,
      ...family(problem, problem.endYarn, ends, rows),
    },
    weft: {
      warp: false,
      field: weft,
      foundHeightMm: weft.heightMm.slice(),
      foundOffsetMm: weft.offsetMm.slice(),
      threadStep: periodEnds,
      lineStep: 1,
      ...family(problem, problem.rowYarn, rows, ends),
    },
  };
}

function family(problem: ClothProblem, yarnOf: Uint16Array, { positionMm, turnMm }: Lines, { pitchMm }: Lines) {
  const threads = positionMm.length;
  const yarns = Array.from({ length: threads }, (_, k) => problem.yarns[yarnOf[k]]);
  const laws = yarns.map(crushLawOf);
  const spans = pitchMm.filter((pitch) => pitch > 0);
  const mean = spans.reduce((sum, pitch) => sum + pitch, 0) / Math.max(1, spans.length);
  return {
    threads,
    lines: pitchMm.length,
    positionMm,
    turnMm,
    pitchMm,
    halfWidthMm: Float64Array.from(yarns, ({ contactWidthMm }) => contactWidthMm / 2),
    halfHeightMm: Float64Array.from(yarns, ({ contactHeightMm }) => contactHeightMm / 2),
    leastArea: Float64Array.from(laws, ({ leastHeightMm, contactHeightMm }) => leastHeightMm / contactHeightMm),
    giveMmPerN: Float64Array.from(laws, softnessMmPerN),
    // A force at a crossing of plain weave.
    bendMmPerN: Float64Array.from(yarns, (yarn) => mean ** 3 / (24 * bendingInPlace(yarn))),
  };
}
