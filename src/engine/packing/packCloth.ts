import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { buildExtras } from './buildExtras.ts';
import { type PackedCloth, PackingError, type YarnMaterial } from './packedCloth.ts';
import { groupRowsIntoLines } from './packLines.ts';
import { packNodes, pageLayout, wrapScaleMm } from './packNodes.ts';
import { createTable, packBuckets, packEndTable, packLineTable, packMaterials, packRowTable } from './packTables.ts';
import { packTiles } from './packTiles.ts';

/**
 * Lays a solved cloth out for the GPU. Same memory for every repeat: only distinct crossings are stored.
 * @param materials one per yarn of the problem, in its order
 * @throws PackingError where sizes disagree, rows descend or the cloth is beyond what the picture holds
 */
export function packCloth(
  problem: ClothProblem,
  geometry: ClothGeometry,
  materials: readonly YarnMaterial[],
): PackedCloth {
  checkSizes(problem, geometry);
  const { periodRows, periodEnds } = geometry;
  const layout = pageLayout(periodRows, periodEnds);
  const scaleMm = wrapScaleMm(geometry);
  const lines = groupRowsIntoLines(problem, geometry);
  const extras = buildExtras(problem, geometry, lines);
  const tiles = packTiles(problem, geometry, lines, extras);
  const buckets = packBuckets(geometry.endXMm, lines.yMm);
  const extraTable = createTable(extras.data.length / 4, 'thread ends');
  extraTable.set(extras.data);
  return {
    ends: problem.ends,
    rows: problem.rows,
    lines: lines.count,
    periodEnds,
    periodRows,
    ...layout,
    warpNodes: packNodes(geometry.warp, periodRows, periodEnds, layout, scaleMm),
    weftNodes: packNodes(geometry.weft, periodRows, periodEnds, layout, scaleMm),
    wrapScaleMm: scaleMm,
    endTable: packEndTable(problem, geometry),
    rowTable: packRowTable(problem, lines),
    lineTable: packLineTable(lines),
    sideBySide: lines.sideBySide,
    bucketTable: buckets.table,
    endBuckets: buckets.ends,
    lineBuckets: buckets.lines,
    ...tiles,
    extras: extras.count,
    extraTable,
    materials: materials.length,
    materialTable: packMaterials(problem, materials),
  };
}

function checkSizes(problem: ClothProblem, geometry: ClothGeometry): void {
  if (problem.ends < 1 || problem.rows < 1) throw new PackingError('cloth: has no ends or no picks; add some first');
  if (geometry.ends !== problem.ends || geometry.rows !== problem.rows) {
    throw new PackingError(
      `cloth: geometry of ${geometry.rows} × ${geometry.ends} given for ${problem.rows} rows × ${problem.ends} ends; solve again`,
    );
  }
  const distinct = geometry.periodRows * geometry.periodEnds;
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
