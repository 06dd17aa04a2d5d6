import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { regionProblem, type SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { mean } from './mean.ts';
import { type ThreadLengths, threadLengths } from './threadLengths.ts';

/** What threads bring to a state: their own lengths, and what still pulls on them. */
export interface SpacingTargets {
  /** Per row of the region: length of weft to a millimetre of width in the reed. */
  readonly weftPerReedMm: Float64Array;
  /** Per space between rows: mean length of the ends in it, mm; left out where the beat alone places the rows. */
  readonly warpMm?: Float64Array;
  /** Length of each end over the mean of the region's ends, and force over its strain, N. */
  readonly warpOfMean: Float64Array;
  readonly endStiffness: Float64Array;
  /** Tension over what the cloth's own bending asks for, per end and row of the whole cloth, N. */
  readonly endTensionN: Float64Array;
  readonly rowTensionN: Float64Array;
  /** Spaces that rows cannot go under, mm. */
  readonly leastMm: Float64Array;
  /** Width over that in the reed that the cloth cannot go under. */
  readonly leastWidth: number;
  /** And beyond which nothing pushes it: the reed's own. */
  readonly mostWidth: number;
  /** Force of each row's weft over its strain, N: how much it has to say of the width. */
  readonly stiffness: Float64Array;
  /** Force at which each row buckles, N: it never pushes with more. */
  readonly rowBucklesN: Float64Array;
  /** Whether a row was laid stretched, so that what it is stretched by pulls it straight as well. */
  readonly elastic: readonly boolean[];
}

export interface SettledSpacing {
  /** Width over that in the reed. */
  readonly widthShare: number;
  /** Space from each row to the next, mm. */
  readonly rowSpacesMm: Float64Array;
  readonly lengths: ThreadLengths;
  readonly balance: { readonly warpN: number; readonly weftN: number };
  /** Length left over: of a row's weft over what the cloth takes, as a share; negative where it is stretched. */
  readonly weftOver: Float64Array;
  /** Of the weft's tension at the fell, what a weft laid with length to spare leaves; 1 where left out. */
  readonly fellShare?: number;
  /** What a row that was laid stretched is still pulled by, N; 0 of others. */
  readonly rowPullN: Float64Array;
  /** The same of each end over what its place along the cloth takes. */
  readonly warpOver: Float64Array;
  readonly passes: number;
  /** Heights at the last pass: what a like state may start from. */
  readonly solution: HeightsSolution;
}

/** Lengths agree within this share: a thousandth is asked for. */
const LENGTH_TOLERANCE = 2e-4;
const MOST_PASSES = 24;
/** A thread that is too long is crimped first: its say over the width, beside one that is too short, until it buckles. */
const PUSH = 0.05;
/** Exponent m of the crimp's passing over: 3 where bending decides the heights, 1 where tension does. */
const EXCHANGE = 2.5;
/** Round threads jam below this: π/2 − 1 where one system takes all of the crimp (F. T. Peirce 1937). */
const MOST_CRIMP = 0.57;
/**
 * Warp slides over wefts between spaces, so a space does not keep its own length to the last: unlike spaces move apart in
 * a few damped steps, of the difference and of at most so much, and then together.
 */
const OWN_PASSES = 6;
const OWN_SHARE = 0.3;
const OWN_STEP = 0.1;
/** Steps as shares, the least slope of a length over its spacing, and how far steps are halved: close cloth is touchy. */
const MOST_STEP = 0.06;
const LEAST_SLOPE = 0.3;
const LEAST_DAMPING = 0.15;

/** Width change, as a share, at which stretched and buckling wefts are in balance: Σ pull = 0, over shares of excess. */
function widthWanted(over: Float64Array, stiffness: Float64Array, bucklesN?: Float64Array): number {
  let low = Math.min(...over);
  let high = Math.max(...over);
  for (let pass = 0; pass < 40; pass++) {
    const middle = (low + high) / 2;
    let total = 0;
    over.forEach((excess, row) => {
      const force = stiffness[row] * (excess - middle);
      total += excess < middle ? force : Math.min(PUSH * force, bucklesN?.[row] ?? Number.POSITIVE_INFINITY);
    });
    if (total > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const sum = (values: Float64Array): number => values.reduce((total, value) => total + value, 0);

/**
 * A thread that bends as far as it can takes up nothing more where its neighbours come closer, and so does not pull them
 * closer: it stays stretched or presses its way into what it crosses.
 */
function heldAtJam(over: number, length: number): number {
  return length > 1 + MOST_CRIMP ? Math.max(0, over) : over;
}

/** The same of a thread that stretches: it presses its way in more and more, so that its pull fades over the second half of that. */
function elasticOver(over: number, length: number): number {
  const left = Math.min(1, Math.max(0, 2 * (1 - (length - 1) / MOST_CRIMP)));
  return over < 0 ? over * left : over;
}

/** Length of each end over what the spaces take, over the region as a whole, share. */
function endsOver(targets: SpacingTargets, lengths: ThreadLengths, rowSpaces: Float64Array): Float64Array {
  if (!targets.warpMm) return new Float64Array(lengths.warpByEnd.length);
  const wanted = sum(targets.warpMm);
  const covered = sum(rowSpaces);
  return lengths.warpByEnd.map((length, end) =>
    heldAtJam((wanted * targets.warpOfMean[end]) / (length * covered) - 1, length),
  );
}

interface System {
  /** Length over what is covered, less 1. */
  readonly crimp: number;
  readonly pitchMm: number;
  /** Change of length wanted, as a share; undefined where the spacing is held. */
  readonly wanted: number | undefined;
}

/**
 * Changes of both spacings (shares) that change both lengths as wanted. A length follows its own spacing, L = p(1 + c)
 * with c ∝ (h/p)², and through the crimp that passes from one system to the other the other's too: h₁/h₂ ∝ (p₂/p₁)^m.
 */
function newtonStep(warp: System, weft: System): { warp: number; weft: number } {
  const h1 = Math.sqrt(Math.max(0, warp.crimp)) * warp.pitchMm;
  const h2 = Math.sqrt(Math.max(0, weft.crimp)) * weft.pitchMm;
  const both = h1 + h2 > 0 ? h1 + h2 : 1;
  const c1 = (2 * warp.crimp) / (1 + warp.crimp);
  const c2 = (2 * weft.crimp) / (1 + weft.crimp);
  const pass1 = (c1 * EXCHANGE * h2) / both;
  const pass2 = (c2 * EXCHANGE * h1) / both;
  const a11 = Math.max(LEAST_SLOPE, 1 - c1) + pass1;
  const a22 = Math.max(LEAST_SLOPE, 1 - c2) + pass2;
  const [b1, b2] = [warp.wanted ?? 0, weft.wanted ?? 0];
  if (warp.wanted === undefined) return { warp: 0, weft: clamp(b2 / a22) };
  const det = a11 * a22 - pass1 * pass2;
  return { warp: clamp((a22 * b1 + pass1 * b2) / det), weft: clamp((a11 * b2 + pass2 * b1) / det) };
}

const clamp = (step: number): number => Math.max(-MOST_STEP, Math.min(MOST_STEP, step));

/**
 * Spacing of ends and rows at which every thread has its own length: L(p) = target, heights being those of least energy at
 * each spacing, tension what the stationarity of bending energy asks for, T = 3 e/(1 − c) with e the bending energy a mm
 * (from E ∝ p⁻³, L − p ∝ p⁻¹ at given heights), plus what the loom or friction adds. Newton steps on lengths with the
 * slope dL/dp = 1 − c of fixed heights. Lengths within 0.02 %.
 */
export function* settleSpacing(
  problem: ClothProblem,
  region: SolvedRegion,
  startYMm: Float64Array,
  targets: SpacingTargets,
  start?: Pick<SettledSpacing, 'widthShare' | 'balance' | 'solution'>,
): Generator<Progress, SettledSpacing> {
  const { firstRow, rows, firstEnd, ends } = region;
  const spanMm = problem.endXMm[firstEnd + ends - 1] - problem.endXMm[firstEnd];
  const periodic = region.boundary === 'periodic';
  const count = periodic ? rows : rows - 1;
  const y = startYMm.slice(firstRow, firstRow + rows + (periodic ? 1 : 0));
  const rowSpaces = Float64Array.from({ length: count }, (_, k) => y[k + 1] - y[k]);
  const loomSpaceMm = mean(rowSpaces);
  // One row alone has no space in which warp could bend.
  const lengthens = targets.warpMm !== undefined && count > 0;
  let widthShare = start?.widthShare ?? 1;
  const pullOf = (over: number, row: number) =>
    targets.elastic[row] ? targets.stiffness[row] * Math.max(0, -over) : 0;
  let rowPullN = targets.weftPerReedMm.map((length, row) => pullOf(length / widthShare - 1, row));
  let balance = start?.balance ?? { warpN: 0, weftN: 0 };
  let solution = start?.solution;
  let damping = 1;
  let before = Number.POSITIVE_INFINITY;
  const alike = rowSpaces.every((space) => Math.abs(space / rowSpaces[0] - 1) < 1e-3);
  const least = targets.warpMm && !alike ? OWN_PASSES : 0;
  for (let pass = 1; ; pass++) {
    const laid = layOut(problem, rowSpaces, widthShare, targets, balance, rowPullN);
    const heights: HeightsProblem = regionProblem(laid.problem, region, laid.rowYMm);
    solution = yield* solveHeights(heights, solution ? { start: solution } : {});
    const lengths = threadLengths(heights, solution);
    const weftOver = Float64Array.from(lengths.weftByRow, (length, row) => {
      const share = targets.weftPerReedMm[row] / (length * widthShare) - 1;
      return targets.elastic[row] ? elasticOver(share, length) : heldAtJam(share, length);
    });
    const nextPullN = weftOver.map(pullOf);
    const meanWeft = mean(lengths.weftByRow);
    const meanWarp = count > 0 ? mean(lengths.warpByRow) : 1;
    const room = { least: targets.leastWidth / widthShare - 1, most: Math.max(0, targets.mostWidth / widthShare - 1) };
    const wanted = widthWanted(weftOver, targets.stiffness, targets.rowBucklesN);
    const across = Math.max(room.least, Math.min(room.most, wanted));
    const over = new Float64Array(count);
    if (targets.warpMm) {
      for (let k = 0; k < count; k++)
        if (rowSpaces[k] > 0) {
          const length = lengths.warpByRow[k];
          over[k] = heldAtJam(targets.warpMm[k] / (length * rowSpaces[k]) - 1, length);
        }
    }
    const warpOver = endsOver(targets, lengths, rowSpaces);
    // Change of all spaces at which stretched and buckling ends are in balance.
    const along = lengthens ? widthWanted(warpOver, targets.endStiffness) : 0;
    const full = newtonStep(
      { crimp: meanWarp - 1, pitchMm: mean(rowSpaces), wanted: lengthens ? along : undefined },
      { crimp: meanWeft - 1, pitchMm: (widthShare * spanMm) / Math.max(1, ends - 1), wanted: across },
    );
    // Steps that lead away are halved.
    const wide = Math.max(Math.abs(across), Math.abs(along));
    damping = wide > 1.1 * before ? Math.max(LEAST_DAMPING, damping / 2) : Math.min(1, damping * 1.2);
    before = wide;
    const step = { warp: full.warp * damping, weft: full.weft * damping };
    const next = {
      warpN: (3 * lengths.warpBendingN) / Math.max(LEAST_SLOPE, 2 - meanWarp),
      weftN: (3 * lengths.weftBendingN) / Math.max(LEAST_SLOPE, 2 - meanWeft),
    };
    const nextShare = Math.min(
      Math.max(widthShare, targets.mostWidth),
      Math.max(Math.min(widthShare, targets.leastWidth), widthShare * (1 + step.weft)),
    );
    const nextSpaces = rowSpaces.slice();
    if (targets.warpMm) {
      const meanOver = mean(over);
      for (let k = 0; k < count; k++) {
        const own = pass <= OWN_PASSES ? OWN_SHARE * Math.max(-OWN_STEP, Math.min(OWN_STEP, over[k] - meanOver)) : 0;
        nextSpaces[k] = Math.max(
          Math.min(rowSpaces[k], targets.leastMm[k]),
          rowSpaces[k] * (1 + clamp(step.warp + own)),
        );
      }
    }
    // Let go, a warp that was taut never makes the cloth longer.
    const longer = mean(nextSpaces) / loomSpaceMm;
    if (longer > 1) for (let k = 0; k < count; k++) nextSpaces[k] /= longer;
    const worst = Math.max(
      Math.abs(nextShare / widthShare - 1),
      lengthens ? Math.abs(mean(nextSpaces) / mean(rowSpaces) - 1) : 0,
    );
    if ((worst <= LENGTH_TOLERANCE && pass > least) || pass >= MOST_PASSES) {
      return {
        widthShare,
        rowSpacesMm: rowSpaces,
        lengths,
        balance,
        weftOver,
        rowPullN,
        warpOver,
        passes: pass,
        solution,
      };
    }
    widthShare = nextShare;
    rowSpaces.set(nextSpaces);
    balance = next;
    rowPullN = nextPullN;
  }

  function layOut(
    of: ClothProblem,
    spaces: Float64Array,
    share: number,
    { endTensionN, rowTensionN }: SpacingTargets,
    extra: SettledSpacing['balance'],
    pullN: Float64Array,
  ) {
    const rowYMm = new Float64Array(of.rows + 1);
    for (let k = 0; k < count; k++) rowYMm[firstRow + k + 1] = rowYMm[firstRow + k] + spaces[k];
    const laid: ClothProblem = {
      ...of,
      endXMm: of.endXMm.map((x) => x * share),
      endTensionN: endTensionN.map((tension) => tension + extra.warpN),
      rowTensionN: rowTensionN.map((tension, row) => tension + extra.weftN + (pullN[row - firstRow] ?? 0)),
    };
    return { problem: laid, rowYMm };
  }
}
