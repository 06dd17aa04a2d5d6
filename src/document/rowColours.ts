import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { laidBeforeMm, rowLengthMm } from '#engine/cloth/rowLength.ts';
import { type ColourRepeat, type ColourRun, colourRuns } from '#engine/yarn/colourRepeat.ts';

/**
 * The colours of each row whose yarn changes colour along its length, from its left to its right; undefined for the
 * others. A yarn goes on where its last row left it, whatever lay between, and turns back where the shuttle does.
 * Of strands that lie together none is told apart.
 */
export function rowColours(
  problem: ClothProblem,
  repeatOf: (yarn: string) => ColourRepeat | undefined,
  weftTakeUp: number,
): readonly (readonly ColourRun[] | undefined)[] {
  const onlyStrand = (row: number) => {
    const { strands } = problem.yarns[problem.rowYarn[row]];
    return strands.length === 1 && repeatOf(strands[0]) ? strands[0] : undefined;
  };
  const before = laidBeforeMm(problem, onlyStrand, weftTakeUp);
  return Array.from({ length: problem.rows }, (_, row) => {
    const strand = onlyStrand(row);
    const repeat = strand === undefined ? undefined : repeatOf(strand);
    if (!repeat) return undefined;
    const runs = colourRuns(repeat, before[row], rowLengthMm(problem, row, weftTakeUp));
    if (problem.rowEntersRight[row] === 0) return runs;
    return runs.map(({ from, to, colour }) => ({ from: 1 - to, to: 1 - from, colour })).reverse();
  });
}
