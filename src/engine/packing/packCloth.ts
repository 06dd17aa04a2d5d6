import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { Crew } from '#engine/cloth/crew.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';
import { beginPacking, type PackingBegun } from './beginPacking.ts';
import { bendsTightly } from './bendsTightly.ts';
import { buildExtras } from './buildExtras.ts';
import type { ClothExtras } from './extraTubes.ts';
import { type Leaf, layLeaf } from './layLeaf.ts';
import { type PackedBand, placeNodes } from './packBand.ts';
import type { LaidLeaf, PackedCloth, YarnMaterial } from './packedCloth.ts';
import { packHair } from './packHair.ts';
import { hasFacets, hasRelief, isRuled, looksByLobes, type PackedMaterials, packMaterials } from './packMaterials.ts';
import { packNodes } from './packNodes.ts';
import { createTable, packBuckets, packEndTable, packLineTable, packRowTable } from './packTables.ts';
import { noneReached, packTiles, type TiledThreads } from './packTiles.ts';
import { packYarnRuns } from './packYarnRuns.ts';
import type { TileReach } from './tileReach.ts';

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
 * @param before what has been begun of it (beginPacking.ts)
 * @throws PackingError where sizes disagree, rows descend or the cloth is beyond what the picture holds
 */
export function* packInSteps(
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
  weftTakeUp = 0,
  leaves: readonly Leaf[] = [],
  crew?: Crew,
  before?: PackingBegun,
): Generator<Progress, PackedCloth> {
  const begun = before ?? beginPacking(problem, geometry, materials, crew);
  try {
    const cloth = yield* packRest(begun, materials, weftTakeUp, leaves);
    if (leaves.length === 0) return cloth;
    const laid: { face?: LaidLeaf; back?: LaidLeaf } = {};
    for (const [k, leaf] of leaves.entries()) laid[leaf.side] = yield* layLeaf(cloth, leaf, materials.length + k);
    return { ...cloth, leaf: laid };
  } finally {
    begun.bands?.begun.stop();
  }
}

/** What the picture needs beside the threads' nodes and tiles. */
interface Tables {
  readonly surfaces: PackedMaterials;
  readonly extras: ClothExtras;
  readonly of: Pick<
    PackedCloth,
    'materialTable' | 'tight' | 'bucketTable' | 'endBuckets' | 'lineBuckets' | 'extraTable' | 'endTable' | 'rowTable'
  >;
}

/** All of it that can be found while others lay threads out. */
function* findTables(
  { problem, geometry, lines, hairs }: TiledThreads,
  materials: readonly YarnMaterial[],
  weftTakeUp: number,
  leaves: readonly Leaf[],
): Generator<Progress, Tables> {
  const faces = leaves.map(({ face }) => face);
  const surfaces = yield* packMaterials(problem, materials, faces);
  const materialTable = packHair(surfaces.materialTable, problem, materials, hairs, materials.length + leaves.length);
  yield { stage: 'packing', share: 0.05 };
  const extras = buildExtras(problem, geometry, lines, hairs);
  const extraTable = createTable(extras.data.length / 4, 'thread ends');
  extraTable.set(extras.data);
  yield { stage: 'packing', share: 0.08 };
  const tight = bendsTightly(problem, geometry, lines, hairs.coreShare);
  yield { stage: 'packing', share: 0.1 };
  const { table, ends, lines: ofLines } = packBuckets(geometry.endXMm, lines.yMm);
  const endTable = packEndTable(problem, geometry);
  const rowTable = packRowTable(problem, lines);
  packYarnRuns(rowTable, endTable, problem, geometry, materials, weftTakeUp);
  const buckets = { bucketTable: table, endBuckets: ends, lineBuckets: ofLines };
  return { surfaces, extras, of: { materialTable, tight, ...buckets, extraTable, endTable, rowTable } };
}

function* packRest(
  { threads, scaleMm, nodes, bands }: PackingBegun,
  materials: readonly YarnMaterial[],
  weftTakeUp: number,
  leaves: readonly Leaf[],
): Generator<Progress, PackedCloth> {
  const { problem, geometry, lines, hairs, warpStraight, weftStraight } = threads;
  const { periodRows, periodEnds, warp, weft } = geometry;
  const { warp: warpNodes, weft: weftNodes, layout } = nodes;
  let tables: Tables | undefined;
  const lookUp = function* (): Generator<Progress, void> {
    tables = yield* findTables(threads, materials, weftTakeUp, leaves);
  };
  let found: TileReach | undefined;
  if (bands) {
    const reach = noneReached(threads);
    found = reach;
    const take = (band: PackedBand, k: number) => {
      if (band.nodes) placeNodes(nodes, band.nodes, bands.cuts[k], bands.cuts[k + 1]);
      reach.merge(band.reach);
    };
    yield* bands.begun.finish(take, (share) => ({ stage: 'packing', share: 0.1 + 0.8 * share }), lookUp());
  } else {
    yield* lookUp();
    const rowsPerStep = rowsPerPause(periodEnds);
    for (let row = 0; row < periodRows; row += rowsPerStep) {
      const to = Math.min(periodRows, row + rowsPerStep);
      packNodes(warpNodes, warp, periodEnds, layout, scaleMm, warpStraight, row, to);
      packNodes(weftNodes, weft, periodEnds, layout, scaleMm, weftStraight, row, to);
      yield { stage: 'packing', share: 0.1 + (0.4 * to) / periodRows };
    }
  }
  const { surfaces, extras, of } = tables as Tables;
  const tiling = packTiles(threads, extras, rowsPerPause(problem.ends), found);
  let packed = tiling.next();
  for (; !packed.done; packed = tiling.next()) yield { stage: 'packing', share: 0.5 + 0.5 * packed.value };
  return {
    ends: problem.ends,
    rows: problem.rows,
    lines: lines.count,
    periodEnds,
    periodRows,
    ...layout,
    warpNodes,
    weftNodes,
    wrapScaleMm: scaleMm,
    ...of,
    lineTable: packLineTable(lines),
    sideBySide: lines.sideBySide,
    sideways: !(warpStraight && weftStraight),
    hairy: hairs.hairMm.some((height) => height > 0),
    meshed: materials.some(({ mesh }) => mesh !== undefined),
    lobed: materials.some(looksByLobes),
    ruled: materials.some(isRuled),
    facets: leaves.length > 0 || materials.some(hasFacets),
    relief: materials.some(hasRelief),
    clear: materials.some(({ strands }) => strands.length === 1 && strands[0].optics.surface === 'clear'),
    partialRows: problem.rowFirst.some((first, row) => first > 0 || problem.rowLast[row] < problem.ends - 1),
    cut: geometry.cutEnds !== undefined,
    ...packed.value,
    extras: extras.count,
    materials: materials.length,
    scatterTable: surfaces.scatterTable,
    scatterBlocks: surfaces.scatterBlocks,
  };
}
