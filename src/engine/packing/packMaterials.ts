import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { writeOptics } from '#engine/scatter/opticsLayout.ts';
import { blockSetting, buildScatterTable } from '#engine/scatter/scatterTable.ts';
import { strandColour } from '#engine/scatter/strandColour.ts';
import { MATERIAL_HEADER_TEXELS, MATERIAL_TEXELS, MAX_STRANDS, STRAND_TEXELS } from './clothBufferLayout.ts';
import { toHalf } from './halfFloat.ts';
import { PackingError, type YarnMaterial } from './packedCloth.ts';
import { createTable } from './packTables.ts';

export interface PackedMaterials {
  readonly materialTable: Float32Array;
  /** Half floats, RGBA (scatter/scatterLayout.ts). */
  readonly scatterTable: Uint16Array;
  readonly scatterBlocks: number;
}

/**
 * Colours, optics and twist per yarn, and the scattering table that they use.
 * @throws PackingError where yarns and materials do not match
 */
export function* packMaterials(
  problem: ClothProblem,
  materials: readonly YarnMaterial[],
): Generator<Progress, PackedMaterials> {
  if (materials.length !== problem.yarns.length) {
    throw new PackingError(
      `materials: ${materials.length} given for ${problem.yarns.length} yarns; give one per yarn, in the same order`,
    );
  }
  const settings = materials.flatMap(({ strands }) => strands.map(({ optics }) => blockSetting(optics)));
  const building = buildScatterTable(settings);
  let built = building.next();
  for (; !built.done; built = building.next()) yield { stage: 'packing', share: 0.1 * built.value };
  const scatter = built.value;
  const table = createTable(materials.length * MATERIAL_TEXELS, 'yarns');
  let setting = 0;
  materials.forEach(({ strands }, index) => {
    const yarn = problem.yarns[index];
    if (strands.length === 0 || strands.length > MAX_STRANDS) {
      throw new PackingError(`yarn ${yarn.id}: has ${strands.length} strands; give 1 to ${MAX_STRANDS}`);
    }
    const at = index * MATERIAL_TEXELS * 4;
    table[at] = strands.length;
    table[at + 1] = yarn.plies;
    table[at + 2] = (yarn.twistTurnsPerM / 1000) * (yarn.twistDirection === 'Z' ? 1 : -1);
    table[at + 3] = Math.tan(yarn.twistAngleRad);
    table[at + 4] = yarn.shape === 'strip' ? 1 : 0;
    const colours = strands.map(({ coneColour, optics }, k) => {
      const block = scatter.blockOf[setting++];
      const colour = strandColour(coneColour, optics, scatter, block);
      const strand = at + (MATERIAL_HEADER_TEXELS + k * STRAND_TEXELS) * 4;
      table.set(colour, strand);
      writeOptics(table, strand + 4, optics, block);
      return colour;
    });
    table.set(meanOf(colours), at + 5);
  });
  return {
    materialTable: table,
    scatterTable: Uint16Array.from(scatter.data, toHalf),
    scatterBlocks: scatter.blocks,
  };
}

function meanOf(colours: readonly LinearRgb[]): LinearRgb {
  const mean = (channel: 0 | 1 | 2) => colours.reduce((sum, colour) => sum + colour[channel], 0) / colours.length;
  return [mean(0), mean(1), mean(2)];
}
