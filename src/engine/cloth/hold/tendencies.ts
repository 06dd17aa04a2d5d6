import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Reading } from '#engine/units/reading.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { LEAST_SLACK_MM_PER_M, SLACK_DOUBT, smoothOverStripes } from './stripes.ts';

/** Which way and how tightly a free cloth would roll along one of its systems; a tendency, not a place. */
export interface Curl {
  readonly to: 'face' | 'back';
  readonly radiusMm: Reading;
}

export interface Curls {
  /** Rolls up from its first and last pick; undefined where it lies flat. */
  readonly along: Curl | undefined;
  /** Rolls in from its edges. */
  readonly across: Curl | undefined;
}

/** Rolls wider than this are pressed flat by their own weight but for a few millimetres of edge (estimate). */
const FLAT_RADIUS_MM = 100;
/** Closer together, as a share of a thread's height, the two systems count as level: edges and uneven picks make as much. */
const LEVEL_SHARE = 0.1;
/** No radius is known more closely than to this factor. */
const LEAST_DOUBT = 2;
/** Force over strain of a yarn of which nothing is known, N/tex. */
const USUAL_MODULUS = 0.5;

/**
 * Curl from what the two systems pull at different heights. Threads of one system lie dz above the others, against which
 * they are pressed, and are stretched by ε = T/K; bending the cloth by κ lets them shorten by κ dz and bends each by κ:
 * ½Bκ² + ½K(ε − κ dz)² is least at κ = Kε dz/(B + K dz²), as in a strip of two metals (S. Timoshenko 1925, J. Opt. Soc.
 * Am. 11, 233). Crimped threads give by their crimp, far more softly than K, down to κ = Kε dz/B: the radius lies between
 * the two, and their geometric mean is told, with the middle half of the ratio as its range. Warp that floats on the face
 * rolls the cloth to the face from its first and last picks, weft from its edges. None where both lie alike on both sides.
 */
export function curlsOf(problem: ClothProblem, geometry: ClothGeometry): Curls {
  const { periodRows, periodEnds, warp, weft } = geometry;
  const size = periodRows * periodEnds;
  let apart = 0;
  for (let k = 0; k < size; k++) apart += warp.heightMm[k] - weft.heightMm[k];
  apart /= size;
  const curl = (tensionN: number, bendingNmm2: number, stiffnessN: number, dzMm: number): Curl | undefined => {
    const tightest = bendingNmm2 / (tensionN * Math.abs(dzMm));
    const ratio = 1 + (stiffnessN * dzMm * dzMm) / bendingNmm2;
    const value = tightest * Math.sqrt(ratio);
    if (!(value < FLAT_RADIUS_MM)) return undefined;
    const within = Math.max(LEAST_DOUBT, ratio ** 0.25);
    return { to: dzMm > 0 ? 'face' : 'back', radiusMm: { value, low: value / within, high: value * within } };
  };
  const stiffness = ({ tex, finishing }: YarnBody) => (finishing?.loomModulusNPerTex ?? USUAL_MODULUS) * tex;
  const { yarns, endYarn, rowYarn, endTensionN, rowTensionN } = problem;
  const mean = (count: number, of: (k: number) => number) => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += of(k);
    return sum / count;
  };
  const heightMm =
    (mean(problem.ends, (end) => yarns[endYarn[end]].contactHeightMm) +
      mean(problem.rows, (row) => yarns[rowYarn[row]].contactHeightMm)) /
    2;
  if (Math.abs(apart) < LEVEL_SHARE * heightMm) return { along: undefined, across: undefined };
  return {
    along: curl(
      mean(problem.ends, (end) => endTensionN[end]),
      mean(problem.ends, (end) => yarns[endYarn[end]].bendingNmm2),
      mean(problem.ends, (end) => stiffness(yarns[endYarn[end]])),
      apart,
    ),
    across: curl(
      mean(problem.rows, (row) => rowTensionN[row]),
      mean(problem.rows, (row) => yarns[rowYarn[row]].bendingNmm2),
      mean(problem.rows, (row) => stiffness(yarns[rowYarn[row]])),
      -apart,
    ),
  };
}

/** Stripes of the warp of which one takes up less length than another: its ends come slack, and pucker when let go. */
export interface Pucker {
  /** Slack of the slackest stripe over the tautest, mm to a metre of cloth. */
  readonly slackMmPerM: Reading;
  /** First and last end of the slackest stripe, counted from 0. */
  readonly firstEnd: number;
  readonly lastEnd: number;
}

/**
 * Difference in length that stripes of ends have over, on one beam: what their crimp takes up less, and what shrinks less.
 * As if no end pulled on its neighbour: the most that may come of it, so sample first.
 * @param warpOver length of each end that the cloth does not take up, share
 * @param lengthOf on the loom, each end's length over the cloth that it weaves: ends of one beam come off it alike, so what
 * they take up differently is over as well
 */
export function puckerOf(
  { ends, rows, endXMm }: Pick<ClothGeometry, 'ends' | 'rows' | 'endXMm'>,
  warpOver: Float64Array,
  lengthOf: ((end: number) => number) | undefined,
): Pucker | undefined {
  if (ends < 3 || rows < 2) return undefined;
  const over = Float64Array.from({ length: ends }, (_, end) => warpOver[end] - (lengthOf ? lengthOf(end) : 0));
  const smooth = smoothOverStripes(endXMm, over);
  const most = Math.max(...smooth);
  const slack = 1000 * (most - Math.min(...smooth));
  if (slack < LEAST_SLACK_MM_PER_M) return undefined;
  const middle = smooth.indexOf(most);
  const half = most - slack / 2000;
  let firstEnd = middle;
  let lastEnd = middle;
  while (firstEnd > 0 && smooth[firstEnd - 1] > half) firstEnd--;
  while (lastEnd + 1 < ends && smooth[lastEnd + 1] > half) lastEnd++;
  return {
    slackMmPerM: { value: slack, low: slack * (1 - SLACK_DOUBT), high: slack * (1 + SLACK_DOUBT) },
    firstEnd,
    lastEnd,
  };
}
