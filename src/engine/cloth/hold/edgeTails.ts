import { type ClothProblem, RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import type { Reading } from '#engine/units/reading.ts';

/** What tails laid back into the cloth add to its edges. */
export interface EdgeTails {
  /** Over the cloth's own thickness, where it is most. */
  readonly extraMm: Reading;
  /** Share of the rows in which a tail lies at the edge. */
  readonly share: number;
  /** Row of the thickest tail. */
  readonly row: number;
}

/** Two wefts in one shed share their room: the tail lies half beside the pick that it shares the shed with (estimate). */
const TUCKED_SHARE = 0.5;
const DOUBT = 0.3;

/**
 * How much thicker the selvedges are for tails: folded behind they lie under the cloth, whole; tucked into the next shed they
 * bundle with its pick. A row that is cut at both edges has a tail at each. Undefined where every tail is fringe.
 */
export function edgeTails(problem: ClothProblem): EdgeTails | undefined {
  const { rows, rowEnd, rowTails, rowYarn, yarns } = problem;
  if (!rowTails) return undefined;
  let most = 0;
  let row = -1;
  let laid = 0;
  for (let k = 0; k < rows; k++) {
    if (rowEnd[k] !== RowEnd.cut || rowTails[k] === RowTails.fringe) continue;
    laid++;
    const { contactHeightMm } = yarns[rowYarn[k]];
    const extra = rowTails[k] === RowTails.folded ? contactHeightMm : TUCKED_SHARE * contactHeightMm;
    if (extra > most) {
      most = extra;
      row = k;
    }
  }
  if (row < 0) return undefined;
  return { extraMm: { value: most, low: most * (1 - DOUBT), high: most * (1 + DOUBT) }, share: laid / rows, row };
}
