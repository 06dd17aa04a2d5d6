import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { curvatureTheoryLeastSpacing } from '#engine/cloth/peirce/jamming.ts';
import { hashNormal } from '#engine/units/hash.ts';
import type { Millimetres } from '#engine/units/units.ts';
import { beatResistance, firmnessOfResistance, resistanceSlope, spacingFromResistance } from './beatLaw.ts';
import { type AlikeEnds, alikeEnds, compareRows, createRowPair, type RowPair } from './rowPairs.ts';

/** A pick is held off by the rows before it, up to this many back: four-layer cloths need no more. */
const ROWS_BACK = 8;

/**
 * Rows of two layers slide over each other: nothing but their own layer's last row holds them. Their phase is then free,
 * and an even hand lays them evenly between (common practice), at half of what would hold them in one layer.
 */
const SLIDING_SHARE = 0.5;

/** Share of swaps at which two rows are held apart over the whole width; below it the few places where they cross
 * bend sideways. A judgement, not a measurement: 8-end satin swaps at 1/4 of its ends and is held fully. */
const FULL_SWAP_SHARE = 0.25;

/** Passes of the fixed point between spacing and bending term; the bending term is small beside tension. */
const SPACING_PASSES = 4;

export interface RowPositions {
  /** Centre of each row, mm, ascending; the first is 0. */
  readonly rowYMm: Float64Array;
  /** Resistance that each row's beat overcame, N per cm of width. */
  readonly resistanceNPerCm: Float64Array;
  /** Firmness that the wanted picks per cm needs, where they were fixed. */
  readonly firmnessNeeded?: number;
}

/**
 * Least spacing of two rows. Where every end passes between them they stop at the jam of curvature theory (rows in one
 * shed at their width); a weave in between takes the mean, which in a square sett is the trade's R + 0.732 I.
 * @param endPitchMm pitch of the ends of one layer
 */
function leastSpacing(pair: RowPair, endPitchMm: Millimetres, pickWidthMm: Millimetres, pickHeightMm: Millimetres) {
  const { endWidthMm, endHeightMm } = pair;
  const jam = curvatureTheoryLeastSpacing({ endPitchMm, endWidthMm, endHeightMm, pickWidthMm, pickHeightMm });
  return pickWidthMm + (pair.changing / pair.common) * (jam - pickWidthMm);
}

const _pair = createRowPair();

/** What holds one row off an earlier one; the spacing then follows from the beat alone. */
export interface Hold {
  readonly row: number;
  readonly earlier: number;
  /** Spacing that the beat cannot lessen, mm. */
  readonly leastMm: Millimetres;
  /** 0 (the rows slide over each other) .. 1 (they share the middle of the cloth). */
  readonly held: number;
  readonly widthMm: Millimetres;
  readonly changingPerCm: number;
  readonly endTensionN: number;
  readonly endBendingNmm2: number;
}

function holdBetween(
  problem: ClothProblem,
  row: number,
  earlier: number,
  alike: AlikeEnds | undefined,
): Hold | undefined {
  const pair = compareRows(_pair, problem, earlier, row, alike);
  if (pair.common === 0) return undefined;
  const a = problem.yarns[problem.rowYarn[earlier]];
  const b = problem.yarns[problem.rowYarn[row]];
  const widthMm = (a.contactWidthMm + b.contactWidthMm) / 2;
  const heightMm = (a.contactHeightMm + b.contactHeightMm) / 2;
  const { endTensionN, endBendingNmm2 } = pair;
  if (pair.changing === 0) {
    return { row, earlier, leastMm: widthMm, held: 1, widthMm, changingPerCm: 0, endTensionN, endBendingNmm2 };
  }
  const held = Math.min(1, pair.swaps / Math.max(1, pair.common - 1) / FULL_SWAP_SHARE);
  // A pair that is not next to each other is told apart by rows of another layer, so the ends that never change
  // between the two belong to that layer as well and leave the pitch of this one.
  const pitchMm = row - earlier > 1 ? (pair.endPitchMm * pair.common) / pair.changing : pair.endPitchMm;
  return {
    row,
    earlier,
    leastMm: leastSpacing(pair, pitchMm, widthMm, heightMm),
    held,
    widthMm,
    changingPerCm: (10 * pair.changing) / pair.common / pair.endPitchMm,
    endTensionN,
    endBendingNmm2,
  };
}

/** All holds, by row, whatever the beat; a row that is held fully over its whole width hides those before it. */
export function rowHolds(problem: ClothProblem): Hold[] {
  const holds: Hold[] = [];
  const alike = alikeEnds(problem);
  for (let row = 1; row < problem.rows; row++) {
    const span = problem.rowLast[row] - problem.rowFirst[row] + 1;
    for (let earlier = row - 1; earlier >= Math.max(0, row - ROWS_BACK); earlier--) {
      const hold = holdBetween(problem, row, earlier, alike);
      if (hold === undefined) continue;
      holds.push(hold);
      if (hold.held >= 1 && _pair.common === span) break;
    }
  }
  return holds;
}

function spacingOf(hold: Hold, resistance: number, tensionLeft: number): Millimetres {
  let spacingMm = hold.leastMm + hold.widthMm;
  for (let pass = 0; pass < SPACING_PASSES; pass++) {
    const tensionN = hold.endTensionN * tensionLeft;
    const slope = resistanceSlope(hold.changingPerCm, tensionN, hold.endBendingNmm2, spacingMm);
    spacingMm = spacingFromResistance(slope, hold.leastMm, resistance);
  }
  return (hold.held + (1 - hold.held) * SLIDING_SHARE) * spacingMm;
}

/** What a placing of the rows goes by beside the beat. */
interface Beaten {
  readonly holds: readonly Hold[];
  /** Share of the warp's tension at a row. */
  tensionLeft(row: number): number;
}

function place({ holds, tensionLeft }: Beaten, resistance: Float64Array, rowYMm: Float64Array): void {
  rowYMm.fill(0);
  let done = 0;
  for (const hold of holds) {
    while (done < hold.row) {
      done++;
      rowYMm[done] = rowYMm[done - 1];
    }
    const y = rowYMm[hold.earlier] + spacingOf(hold, resistance[hold.row], tensionLeft(hold.row));
    if (y > rowYMm[hold.row]) rowYMm[hold.row] = y;
  }
  while (done < rowYMm.length - 1) {
    done++;
    rowYMm[done] = rowYMm[done - 1];
  }
}

/** Picks per cm over the whole length. */
export function meanPicksPerCm(problem: ClothProblem, rowYMm: Float64Array): number {
  const picks = problem.rowPick[problem.rows - 1] - problem.rowPick[0];
  return (10 * picks) / (rowYMm[problem.rows - 1] - rowYMm[0]);
}

/**
 * Where every row comes to lie under its beat (or, with picks per cm fixed, under the beat that this needs).
 * @param withScatter false gives the spacing that structure and beat make, without the weaver's unevenness and pauses
 * @param holds of this problem or of one that differs in its beat alone; comparing rows is most of the work
 * @throws ClothError 'jams' when the picks per cm wanted are more than the cloth can take
 */
export function rowPositions(
  problem: ClothProblem,
  withScatter: boolean,
  holds: readonly Hold[] = rowHolds(problem),
): RowPositions {
  const { rows, rowPick, beat } = problem;
  const factor = beat.resistanceFactor ?? 1;
  const resistance = new Float64Array(rows);
  for (let row = 0; row < rows; row++) {
    const pick = rowPick[row];
    const scatter = withScatter ? Math.exp(beat.scatterShare * hashNormal(beat.seed, pick)) : 1;
    resistance[row] = beatResistance(beat.firmness[pick]) * factor * scatter;
  }
  const { tensionLeft } = beat;
  const beaten: Beaten = {
    holds,
    tensionLeft: withScatter && tensionLeft ? (row) => tensionLeft[rowPick[row]] : () => 1,
  };
  const rowYMm = new Float64Array(rows);
  place(beaten, resistance, rowYMm);
  const wanted = beat.fixedPicksPerCm;
  if (wanted === undefined || rows < 2) return { rowYMm, resistanceNPerCm: resistance };
  return beatForPicksPerCm(problem, beaten, resistance, wanted);
}

/** Bisects on the beat, in powers of two: 24 halvings of 2^±20 leave less than 1e-5 of R. */
function beatForPicksPerCm(problem: ClothProblem, beaten: Beaten, base: Float64Array, wanted: number): RowPositions {
  const rowYMm = new Float64Array(problem.rows);
  const trial = new Float64Array(problem.rows);
  const at = (exponent: number): number => {
    for (let row = 0; row < trial.length; row++) trial[row] = base[row] * 2 ** exponent;
    place(beaten, trial, rowYMm);
    return meanPicksPerCm(problem, rowYMm);
  };
  let low = -20;
  let high = 20;
  const most = at(high);
  if (most < wanted) {
    throw new ClothError(
      'jams',
      'beat',
      `${wanted.toFixed(1)} picks/cm cannot be beaten in: these yarns in this weave jam at ${most.toFixed(1)} picks/cm. ` +
        'Ask for fewer picks, a finer weft, a more open sett or longer floats.',
    );
  }
  for (let pass = 0; pass < 24; pass++) {
    const middle = (low + high) / 2;
    if (at(middle) < wanted) low = middle;
    else high = middle;
  }
  at(high);
  const meanResistance = trial.reduce((sum, r) => sum + r, 0) / trial.length;
  return {
    rowYMm,
    resistanceNPerCm: trial,
    firmnessNeeded: firmnessOfResistance(meanResistance / (problem.beat.resistanceFactor ?? 1)),
  };
}
