import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { curveSlope } from '#engine/cloth/curve.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import { treatmentFacts } from '#engine/cloth/states/treatments.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import type { Reading } from '#engine/units/reading.ts';
import { heldLengthMm } from './heldLength.ts';

/**
 * `held`: a few millimetres hold it. `slides`: a raw edge must be bound. `fallsOut`: it can be drawn out of its whole row.
 * `worms`: pile that loops out of its floats. `drifts`: loose fibre with nothing to hold it over part of its way.
 */
export type HoldVerdict = 'held' | 'slides' | 'fallsOut' | 'worms' | 'drifts';

/** How one weft keeps in the cloth, where it does worst. */
export interface HeldWeft {
  /** Index into the problem's yarns. */
  readonly yarn: number;
  readonly verdict: HoldVerdict;
  /** Shortest piece that a light pull does not draw out, mm. */
  readonly holdsOverMm: Reading;
  /** Its longest float: ends passed over or under, and mm. */
  readonly floatEnds: number;
  readonly floatMm: number;
  /** Row where it holds worst, or floats furthest. */
  readonly row: number;
}

/** What a hand that brushes over an edge, or a wash, pulls at one thread, N (estimate). */
const LIGHT_PULL_N = 0.2;
/** A hem or a stitched edge takes hold so far in: more has to be bound first (common practice: about 1 cm). */
const USUAL_EDGE_MM = 10;
/** Chenille floats no further than over two ends, else its pile works up into loops (common practice). */
const MOST_PILE_FLOAT = 2;
/** Half of the shortest fibre that is sold for inlay, 20 mm: loose fibre that floats further is held by neither end. */
const MOST_LOOSE_FLOAT_MM = 10;
/** Felted fibres are grown into their neighbours: so many times the friction (estimate). */
const FELTED = 3;
/** Treatments in which wool felts: at three times a gentle wash's shrinkage or more. */
const FELTS_AT = 3;
/** Rows of one yarn that are looked at: evenly chosen. */
const MOST_ROWS = 24;

interface Row {
  readonly turnPerMm: number;
  readonly floatEnds: number;
  readonly floatMm: number;
}

/** How much a row's weft turns to and fro a millimetre of its way, rad, and how far it floats. */
function lookAlong(problem: ClothProblem, geometry: ClothGeometry, row: number): Row {
  const { periodRows, periodEnds, endXMm, weft } = geometry;
  const base = (row % periodRows) * periodEnds;
  let turn = 0;
  let angle: number | undefined;
  let from = problem.rowFirst[row];
  let floatEnds = 0;
  let floatMm = 0;
  const last = problem.rowLast[row];
  for (let end = problem.rowFirst[row]; end < last; end++) {
    const pitch = endXMm[end + 1] - endXMm[end];
    const k = base + (end % periodEnds);
    const l = base + ((end + 1) % periodEnds);
    for (const u of [0, 0.25, 0.5, 0.75]) {
      const now = Math.atan(curveSlope(weft, k, l, pitch, u));
      if (angle !== undefined) turn += Math.abs(now - angle);
      angle = now;
    }
    const changes = isWarpUp(problem.drawdown, row, end) !== isWarpUp(problem.drawdown, row, end + 1);
    if (!changes && end + 1 < last) continue;
    const ends = (changes ? end : end + 1) - from + 1;
    if (ends > floatEnds) {
      floatEnds = ends;
      floatMm = endXMm[changes ? end + 1 : end + 1] - endXMm[from];
    }
    from = end + 1;
  }
  const span = endXMm[last] - endXMm[problem.rowFirst[row]];
  return { turnPerMm: span > 0 ? turn / span : 0, floatEnds, floatMm };
}

/** Rows of each yarn that is a weft. */
function rowsByYarn({ rows, rowYarn }: ClothProblem): ReadonlyMap<number, number[]> {
  const out = new Map<number, number[]>();
  for (let row = 0; row < rows; row++) {
    const known = out.get(rowYarn[row]);
    if (known) known.push(row);
    else out.set(rowYarn[row], [row]);
  }
  return out;
}

/**
 * How each weft is held at a cut through the cloth: by the capstan law over its own turns (L. Euler 1769; J. A.
 * Eytelwein 1808), the tension that the cloth's bending leaves in it at the far end. Known to about a factor of two.
 * @param problem as it is in the state; @param finished the treatment it has had, if any
 */
export function holdOfWefts(problem: ClothProblem, geometry: ClothGeometry, finished?: Treatment): readonly HeldWeft[] {
  const { pitchMm } = endSpan(problem);
  const felts = finished !== undefined && treatmentFacts(finished).felts >= FELTS_AT;
  return [...rowsByYarn(problem)].map(([yarn, rows]) => {
    const body = problem.yarns[yarn];
    const [least, most] = body.grip?.friction ?? [0.2, 0.35];
    const grown = felts && body.finishing?.felts ? FELTED : 1;
    const step = Math.max(1, rows.length / MOST_ROWS);
    let worst: { row: number; lengthMm: number; seen: Row } | undefined;
    let longest: { row: number; seen: Row } | undefined;
    const friction = Math.sqrt(least * most) * grown;
    for (let k = 0; k < rows.length; k += step) {
      const row = rows[Math.floor(k)];
      const seen = lookAlong(problem, geometry, row);
      const lengthMm = heldLengthMm(LIGHT_PULL_N, problem.rowTensionN[row], friction, seen.turnPerMm);
      if (!worst || lengthMm > worst.lengthMm) worst = { row, lengthMm, seen };
      if (!longest || seen.floatEnds > longest.seen.floatEnds) longest = { row, seen };
    }
    if (!worst || !longest) throw new RangeError(`weft ${yarn}: no row of it`);
    const { row, lengthMm, seen } = worst;
    const wayMm = geometry.endXMm[problem.rowLast[row]] - geometry.endXMm[problem.rowFirst[row]] + pitchMm;
    const { floatEnds, floatMm } = longest.seen;
    const at = (mu: number) => heldLengthMm(LIGHT_PULL_N, problem.rowTensionN[row], mu * grown, seen.turnPerMm);
    let verdict: HoldVerdict = lengthMm > wayMm ? 'fallsOut' : lengthMm > USUAL_EDGE_MM ? 'slides' : 'held';
    if (body.grip?.unspun && floatMm > MOST_LOOSE_FLOAT_MM && grown === 1) verdict = 'drifts';
    else if (body.grip?.pile && floatEnds > MOST_PILE_FLOAT) verdict = 'worms';
    return {
      yarn,
      verdict,
      holdsOverMm: { value: lengthMm, low: at(most), high: at(least) },
      floatEnds,
      floatMm,
      row: verdict === 'worms' || verdict === 'drifts' ? longest.row : row,
    };
  });
}
