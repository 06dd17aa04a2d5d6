import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { Begun, type Crew } from '#engine/cloth/crew.ts';
import { kindsAreStraight, mostWrapMm } from '#engine/cloth/kinds/kindFields.ts';
import { type BandNodes, bandCuts, bandJob, bandNodes, type PackedBand, packBand } from './packBand.ts';
import { PackingError, type YarnMaterial } from './packedCloth.ts';
import { hairInCloth } from './packHair.ts';
import { kindBandJob, packKinds } from './packKinds.ts';
import { groupRowsIntoLines } from './packLines.ts';
import { wrapScaleMm } from './packNodes.ts';
import type { TiledThreads } from './packTiles.ts';
import { isStraight } from './threadSizes.ts';

/** A cloth of which threads are being laid out. */
export interface PackingBegun {
  readonly threads: TiledThreads;
  readonly scaleMm: number;
  readonly nodes: BandNodes;
  /** Where the crew lays them out, or this thread band by band. */
  readonly bands?: {
    readonly cuts: readonly number[];
    readonly begun: Pick<Begun<never, PackedBand>, 'finish' | 'stop'>;
  };
}

/**
 * Begins to lay out a cloth's threads, where that is shared among others: `packInSteps` goes on from there. What has been begun is
 * to be stopped where it does not.
 * @throws PackingError as `packInSteps`
 */
export function beginPacking(
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
  crew?: Crew,
): PackingBegun {
  checkSizes(problem, geometry, materials);
  const { periodRows, periodEnds, warp, weft } = geometry;
  const kinds = geometry.byKinds?.fields;
  const scaleMm = kinds ? mostWrapMm(kinds) : wrapScaleMm(geometry);
  const lines = groupRowsIntoLines(problem, geometry);
  const hairs = hairInCloth(problem, geometry, lines, materials);
  const warpStraight = kinds ? kindsAreStraight(kinds, 0) : isStraight(warp);
  const weftStraight = kinds ? kindsAreStraight(kinds, 1) : isStraight(weft);
  const threads: TiledThreads = { problem, geometry, lines, hairs, warpStraight, weftStraight };
  // A repeat is soon laid out.
  const whole = periodRows === problem.rows && periodEnds === problem.ends && !lines.sideBySide;
  if (!kinds && !(crew && whole)) return { threads, scaleMm, nodes: bandNodes(periodRows, periodEnds) };
  const nodes = bandNodes(periodRows, periodEnds, crew?.shares);
  // Written where they belong by whoever lays them out: here, or in threads that this one shares memory with.
  const into = !crew || crew.shares ? nodes : undefined;
  const cuts = kinds ? [0, ...kinds.bands.map(({ to }) => to)] : bandCuts(periodRows, crew?.hands ?? 1);
  const begun = kinds
    ? new Begun(
        crew,
        packKinds,
        kinds.bands.map((band) => () => kindBandJob(threads, scaleMm, kinds, band, into)),
      )
    : new Begun(
        crew,
        packBand,
        cuts.slice(1).map((to, k) => () => bandJob(threads, scaleMm, cuts[k], to, into)),
      );
  return { threads, scaleMm, nodes, bands: { cuts, begun } };
}

function checkSizes(problem: ClothProblem, geometry: ClothGeometry, materials: readonly YarnMaterial[]): void {
  if (materials.length !== problem.yarns.length) {
    throw new PackingError(
      `materials: ${materials.length} given for ${problem.yarns.length} yarns; give one per yarn, in the same order`,
    );
  }
  if (problem.ends < 1 || problem.rows < 1) throw new PackingError('cloth: has no ends or no picks; add some first');
  if (geometry.ends !== problem.ends || geometry.rows !== problem.rows) {
    throw new PackingError(
      `cloth: geometry of ${geometry.rows} × ${geometry.ends} given for ${problem.rows} rows × ${problem.ends} ends; solve again`,
    );
  }
  // Of kinds there is one to each crossing, of whatever its fields hold.
  const distinct = geometry.byKinds ? 0 : geometry.periodRows * geometry.periodEnds;
  for (const [name, field] of [
    ['warp', geometry.warp],
    ['weft', geometry.weft],
  ] as const) {
    for (const [part, values] of Object.entries(field)) {
      if (values.length < distinct) {
        throw new PackingError(
          `${name} ${part}: ${values.length} values for ${distinct} distinct crossings; solve again`,
        );
      }
    }
  }
  for (let row = 0; row < problem.rows; row++) {
    if (problem.rowFirst[row] > problem.rowLast[row] || problem.rowLast[row] >= problem.ends) {
      throw new PackingError(
        `row ${row + 1}: passes ends ${problem.rowFirst[row] + 1} to ${problem.rowLast[row] + 1}; keep within 1 to ${problem.ends}`,
      );
    }
  }
}
