import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { kindsAreStraight, mostWrapMm } from '#engine/cloth/kinds/kindFields.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';
import { bendsTightly } from './bendsTightly.ts';
import { buildExtras } from './buildExtras.ts';
import { type Leaf, layLeaf } from './layLeaf.ts';
import { bandCuts, bandJob, bandNodes, type PackedBand, packBand, placeNodes } from './packBand.ts';
import { type LaidLeaf, type PackedCloth, PackingError, type YarnMaterial } from './packedCloth.ts';
import { packHair } from './packHair.ts';
import { kindBandJob, packKinds } from './packKinds.ts';
import { groupRowsIntoLines } from './packLines.ts';
import { looksByLobes, packMaterials } from './packMaterials.ts';
import { packNodes, wrapScaleMm } from './packNodes.ts';
import { createTable, packBuckets, packEndTable, packLineTable, packRowTable } from './packTables.ts';
import { packTiles, type TiledThreads } from './packTiles.ts';
import { packYarnRuns } from './packYarnRuns.ts';
import { isStraight } from './threadSizes.ts';
import type { PartReach } from './tileReach.ts';

/** `packInSteps` in one go. */
export function packCloth(
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
  weftTakeUp = 0,
): PackedCloth {
  const steps = packInSteps(problem, geometry, materials, weftTakeUp);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * Lays a solved cloth out for the GPU. Same memory for every repeat: only distinct crossings are stored.
 * @param materials one per yarn of the problem, in its order
 * @param weftTakeUp share of the wefts' length, 0..1: how far colours along them go
 * @param leaves metal leaf pressed on; of several on a side, the last is seen
 * @param crew threads that share the work, where there are any
 * @throws PackingError where sizes disagree, rows descend or the cloth is beyond what the picture holds
 */
export function* packInSteps(
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
  weftTakeUp = 0,
  leaves: readonly Leaf[] = [],
  crew?: Crew,
): Generator<Progress, PackedCloth> {
  checkSizes(problem, geometry);
  const surfaces = yield* packMaterials(
    problem,
    materials,
    leaves.map(({ face }) => face),
  );
  const { periodRows, periodEnds, warp, weft } = geometry;
  const kinds = geometry.byKinds?.fields;
  const scaleMm = kinds ? mostWrapMm(kinds) : wrapScaleMm(geometry);
  const lines = groupRowsIntoLines(problem, geometry);
  // Of each yarn, how far hair stands off it in this cloth.
  const { hairMm, shadingMm, coreShare, materialTable } = packHair(
    surfaces.materialTable,
    problem,
    geometry,
    lines,
    materials,
    materials.length + leaves.length,
  );
  const extras = buildExtras(problem, geometry, lines, coreShare);
  yield { stage: 'packing', share: 0.05 };
  const warpStraight = kinds ? kindsAreStraight(kinds, 0) : isStraight(warp);
  yield { stage: 'packing', share: 0.08 };
  const weftStraight = kinds ? kindsAreStraight(kinds, 1) : isStraight(weft);
  yield { stage: 'packing', share: 0.1 };
  const threads: TiledThreads = { problem, geometry, lines, hairs: { hairMm, shadingMm }, warpStraight, weftStraight };
  const linesPerStep = rowsPerPause(problem.ends);
  const parts: PartReach[] = [];
  // A repeat is soon laid out.
  const whole = periodRows === problem.rows && periodEnds === problem.ends && !lines.sideBySide;
  const shared = kinds !== undefined || (crew !== undefined && whole);
  const nodes = bandNodes(periodRows, periodEnds, shared && crew?.shares);
  const { warp: warpNodes, weft: weftNodes, layout } = nodes;
  if (shared) {
    // Written where they belong by whoever lays them out: here, or in threads that this one shares memory with.
    const into = !crew || crew.shares ? nodes : undefined;
    const cuts = kinds ? [0, ...kinds.bands.map(({ to }) => to)] : bandCuts(periodRows, crew?.hands ?? 1);
    const take = (band: PackedBand, k: number) => {
      if (band.nodes) placeNodes(nodes, band.nodes, cuts[k], cuts[k + 1]);
      parts.push(band.reach);
    };
    const progress = (share: number): Progress => ({ stage: 'packing', share: 0.1 + 0.8 * share });
    if (kinds) {
      const jobs = kinds.bands.map((band) => () => kindBandJob(threads, scaleMm, kinds, band, into));
      yield* together(crew, packKinds, jobs, take, progress);
    } else {
      const jobs = cuts.slice(1).map((to, k) => () => bandJob(threads, scaleMm, cuts[k], to, into));
      yield* together(crew, packBand, jobs, take, progress);
    }
  } else {
    const rowsPerStep = rowsPerPause(periodEnds);
    for (let row = 0; row < periodRows; row += rowsPerStep) {
      const to = Math.min(periodRows, row + rowsPerStep);
      packNodes(warpNodes, warp, periodEnds, layout, scaleMm, warpStraight, row, to);
      packNodes(weftNodes, weft, periodEnds, layout, scaleMm, weftStraight, row, to);
      yield { stage: 'packing', share: 0.1 + (0.4 * to) / periodRows };
    }
  }
  const tiling = packTiles(threads, extras, linesPerStep, shared ? parts : undefined);
  let packed = tiling.next();
  for (; !packed.done; packed = tiling.next()) yield { stage: 'packing', share: 0.5 + 0.5 * packed.value };
  const buckets = packBuckets(geometry.endXMm, lines.yMm);
  const extraTable = createTable(extras.data.length / 4, 'thread ends');
  extraTable.set(extras.data);
  const endTable = packEndTable(problem, geometry);
  const rowTable = packRowTable(problem, lines);
  packYarnRuns(rowTable, endTable, problem, geometry, materials, weftTakeUp);
  const cloth: PackedCloth = {
    ends: problem.ends,
    rows: problem.rows,
    lines: lines.count,
    periodEnds,
    periodRows,
    ...layout,
    warpNodes,
    weftNodes,
    wrapScaleMm: scaleMm,
    endTable,
    rowTable,
    lineTable: packLineTable(lines),
    sideBySide: lines.sideBySide,
    sideways: !(warpStraight && weftStraight),
    hairy: hairMm.some((height) => height > 0),
    meshed: materials.some(({ mesh }) => mesh !== undefined),
    tight: bendsTightly(problem, geometry, lines, coreShare),
    lobed: materials.some(looksByLobes),
    clear: materials.some(({ strands }) => strands.length === 1 && strands[0].optics.surface === 'clear'),
    partialRows: problem.rowFirst.some((first, row) => first > 0 || problem.rowLast[row] < problem.ends - 1),
    cut: geometry.cutEnds !== undefined,
    bucketTable: buckets.table,
    endBuckets: buckets.ends,
    lineBuckets: buckets.lines,
    ...packed.value,
    extras: extras.count,
    extraTable,
    materials: materials.length,
    materialTable,
    scatterTable: surfaces.scatterTable,
    scatterBlocks: surfaces.scatterBlocks,
  };
  if (leaves.length === 0) return cloth;
  const laid: { face?: LaidLeaf; back?: LaidLeaf } = {};
  for (const [k, leaf] of leaves.entries()) laid[leaf.side] = yield* layLeaf(cloth, leaf, materials.length + k);
  return { ...cloth, leaf: laid };
}

function checkSizes(problem: ClothProblem, geometry: ClothGeometry): void {
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
