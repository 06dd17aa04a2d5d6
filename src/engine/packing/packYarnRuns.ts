import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { laidBeforeMm, rowLengthMm } from '#engine/cloth/rowLength.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { THREAD_TEXELS } from './clothBufferLayout.ts';
import type { YarnMaterial } from './packedCloth.ts';
import type { StrandColours } from './strandMaterial.ts';

/** Where a thread's own numbers of its yarn's run stand in its texels. */
const RUN = 2 * 4;
const WARP_SEED = 77;

/**
 * Writes into the rows' and ends' tables how much yarn was laid before place 0 of each thread whose yarn changes colour
 * along itself, and how the yarn runs from there. A weft goes on where its last row left it, whatever lay between, and turns
 * back where the shuttle does; each end begins where chance has it, since what came before it on the beam is not known.
 * @param weftTakeUp share of the wefts' length, 0..1
 */
export function packYarnRuns(
  rowTable: Float32Array,
  endTable: Float32Array,
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
  weftTakeUp: number,
): void {
  const runs = materials.map(({ strands }) => strands.findIndex(({ colours }) => colours?.of === 'length'));
  if (runs.every((strand) => strand < 0)) return;
  const repeats = materials.map(({ strands }, k) => strands[runs[k]]?.colours);
  const { rows, ends } = problem;
  const strandOf = (row: number) => {
    const yarn = problem.rowYarn[row];
    return problem.yarns[yarn].strands[runs[yarn]] as string | undefined;
  };
  const before = laidBeforeMm(problem, strandOf, weftTakeUp);
  for (let row = 0; row < rows; row++) {
    const repeat = repeats[problem.rowYarn[row]];
    if (!repeat) continue;
    const used = before[row];
    const lengthMm = rowLengthMm(problem, row, weftTakeUp);
    const left = geometry.endXMm[problem.rowFirst[row]];
    const right = geometry.endXMm[problem.rowLast[row]];
    const rate = lengthMm / Math.max(1e-6, right - left);
    const back = problem.rowEntersRight[row] === 1;
    const from = back ? used + right * rate : used - left * rate;
    rowTable.set([withinRepeat(from, repeat), back ? -rate : rate], row * THREAD_TEXELS * 4 + RUN);
  }
  for (let end = 0; end < ends; end++) {
    const repeat = repeats[problem.endYarn[end]];
    if (!repeat) continue;
    const from = hashUniform(WARP_SEED, end) * (repeat.lengthMm ?? 0);
    endTable.set([withinRepeat(from, repeat), 1], end * THREAD_TEXELS * 4 + RUN);
  }
}

/** Small numbers keep their digits in single precision. */
function withinRepeat(alongMm: number, { lengthMm = 1, startMm = 0 }: StrandColours): number {
  const at = (alongMm + startMm) % lengthMm;
  return at < 0 ? at + lengthMm : at;
}
