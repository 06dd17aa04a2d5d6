import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { firmnessOfResistance } from '#engine/cloth/spacing/beatLaw.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import type { Millimetres, PerCentimetre } from '#engine/units/units.ts';

/**
 * A change of density from one pick to the next that is seen as a step: a twelfth. Of 12 picks an inch, 11 to 13 pass
 * (common practice among weavers).
 */
const SEEN_STEP = 1 / 12;

/** What can be done with a piece half woven, measured on the loom. */
export interface HalfWay {
  /** Height woven over what was forecast for those picks; above 1 it comes out tall. */
  readonly stretch: number;
  /** As planned for all picks. */
  readonly plannedMm: Millimetres;
  /** The picks left as they are, under the same beat: height of the whole, and its error as a share of the plan. */
  readonly keepPicks: { readonly heightMm: Millimetres; readonly error: number };
  /** The same beat, with so many picks in place of those left; undefined where what is woven is already too high. */
  readonly recut: { readonly picks: number; readonly heightMm: Millimetres; readonly error: number } | undefined;
  /** The picks kept and the beat changed from here on; undefined likewise. */
  readonly changeBeat: BeatChange | undefined;
}

export interface BeatChange {
  readonly fromPicksPerCm: PerCentimetre;
  readonly toPicksPerCm: PerCentimetre;
  /** Firmness that the rest needs, by this hand on this loom; above 1 it is beyond them. Undefined where it jams. */
  readonly firmness: number | undefined;
  /** Picks per cm at which it jams, where it does. */
  readonly jam: string | undefined;
  /** The step will be seen, between the last pick woven and the next. */
  readonly seen: boolean;
}

/**
 * Half way up: what was woven says how this beat compares with the forecast, and the rest follows from it.
 * @param woven picks woven so far, below the number of all; @param heightMm measured on the loom, first pick to fell
 */
export function halfWay(problem: ClothProblem, woven: number, heightMm: Millimetres): HalfWay {
  const yMm = pickEdges(problem);
  const picks = yMm.length - 1;
  if (!(woven >= 1 && woven < picks)) {
    throw new RangeError(`${woven} picks woven of ${picks}: give at least 1, and fewer than all`);
  }
  if (!(heightMm > 0)) throw new RangeError(`height woven ${heightMm} mm: give a height above 0`);
  const plannedMm = yMm[picks];
  const restMm = plannedMm - yMm[woven];
  const stretch = heightMm / yMm[woven];
  const kept = heightMm + stretch * restMm;
  const leftMm = plannedMm - heightMm;
  const rest = picks - woven;
  const possible = leftMm > 0;
  const recutPicks = possible ? Math.max(1, Math.round((rest * leftMm) / (stretch * restMm))) : 0;
  const recutMm = heightMm + (recutPicks * stretch * restMm) / rest;
  return {
    stretch,
    plannedMm,
    keepPicks: { heightMm: kept, error: kept / plannedMm - 1 },
    recut: possible ? { picks: recutPicks, heightMm: recutMm, error: recutMm / plannedMm - 1 } : undefined,
    changeBeat: possible ? beatChange(problem, woven, stretch, restMm, leftMm) : undefined,
  };
}

function beatChange(
  problem: ClothProblem,
  woven: number,
  stretch: number,
  restMm: Millimetres,
  leftMm: Millimetres,
): BeatChange {
  const part = picksFrom(problem, woven);
  const rest = part.rowPick[part.rows - 1] + 1;
  const fromPicksPerCm = (10 * rest) / (stretch * restMm);
  const toPicksPerCm = (10 * rest) / leftMm;
  const step = { fromPicksPerCm, toPicksPerCm, seen: Math.abs(toPicksPerCm / fromPicksPerCm - 1) > SEEN_STEP };
  if (part.rows < 2) return { ...step, firmness: undefined, jam: undefined };
  try {
    const at = (picksPerCm: number) => {
      const beat = { ...part.beat, fixedPicksPerCm: picksPerCm };
      return rowPositions({ ...part, beat }, false).resistanceNPerCm;
    };
    // What this hand gave under the firmness said tells what the rest needs on her own scale.
    const said = meanLog(
      rowPositions({ ...part, beat: { ...part.beat, fixedPicksPerCm: undefined } }, false).resistanceNPerCm,
    );
    const hand = meanLog(at(fromPicksPerCm)) - said;
    const needed = meanLog(at(toPicksPerCm)) - hand;
    const factor = Math.log(part.beat.resistanceFactor ?? 1);
    return { ...step, firmness: firmnessOfResistance(Math.exp(needed - factor)), jam: undefined };
  } catch (error) {
    if (!(error instanceof ClothError)) throw error;
    return { ...step, firmness: undefined, jam: error.message };
  }
}

const meanLog = (values: Float64Array) => values.reduce((sum, value) => sum + Math.log(value), 0) / values.length;

/** Lower edge of each pick, and the upper of the last: halves of the way to its neighbours. 0 at the first. */
function pickEdges(problem: ClothProblem): Float64Array {
  const { rows, rowPick } = problem;
  const { rowYMm } = rowPositions(problem, false);
  const picks = rowPick[rows - 1] + 1;
  const centre = new Float64Array(picks);
  for (let row = 0; row < rows; row++) centre[rowPick[row]] = Math.max(centre[rowPick[row]], rowYMm[row]);
  const meanMm = picks > 1 ? centre[picks - 1] / (picks - 1) : problem.yarns[problem.rowYarn[0]].contactWidthMm;
  const first = picks > 1 ? centre[1] - centre[0] : meanMm;
  const last = picks > 1 ? centre[picks - 1] - centre[picks - 2] : meanMm;
  return Float64Array.from({ length: picks + 1 }, (_, pick) => {
    if (pick === 0) return 0;
    if (pick === picks) return centre[picks - 1] + last / 2 + first / 2;
    return (centre[pick - 1] + centre[pick]) / 2 + first / 2;
  });
}

/** The cloth from a pick on, by itself. */
function picksFrom(problem: ClothProblem, pick: number): ClothProblem {
  const { rows, rowPick, drawdown } = problem;
  let first = 0;
  while (first < rows && rowPick[first] < pick) first++;
  const words = drawdown.wordsPerRow;
  return {
    ...problem,
    rows: rows - first,
    drawdown: { ...drawdown, rows: rows - first, bits: drawdown.bits.slice(first * words) },
    rowYarn: problem.rowYarn.slice(first),
    rowPick: rowPick.slice(first).map((each) => each - pick),
    rowFirst: problem.rowFirst.slice(first),
    rowLast: problem.rowLast.slice(first),
    rowEntersRight: problem.rowEntersRight.slice(first),
    rowEnd: problem.rowEnd.slice(first),
    rowTailMm: problem.rowTailMm.slice(first),
    rowTensionN: problem.rowTensionN.slice(first),
    beat: { ...problem.beat, firmness: problem.beat.firmness.slice(pick), tensionLeft: undefined },
  };
}

/**
 * Which of the picks left are woven, in order, when `wanted` take the place of `count`: groups of `unit` picks are left out
 * or woven twice at even distances, so that sheds keep their turn and the motif its proportion. Indices from 0.
 */
export function recutOrder(count: number, wanted: number, unit: number): number[] {
  const groups = Math.max(1, Math.round(count / unit));
  const wantedGroups = Math.max(1, Math.round(wanted / unit));
  const order: number[] = [];
  for (let group = 0; group < wantedGroups; group++) {
    const source = Math.floor(((group + 0.5) * groups) / wantedGroups);
    const from = source * unit;
    const to = source === groups - 1 ? count : Math.min(count, from + unit);
    for (let pick = from; pick < to; pick++) order.push(pick);
  }
  return order;
}
