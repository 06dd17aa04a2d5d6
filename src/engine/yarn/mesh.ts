import type { Millimetres } from '#engine/units/units.ts';
import { fibreAreaMm2 } from './diameter.ts';
import type { YarnRecord } from './yarnRecord.ts';

/**
 * Thickness of a mesh's bars, from what the strip weighs. Bars of any mesh that is as wide as p between flats, hexagons
 * (3 sides of p/√3 on √3/2 p²) and squares (2 sides of p on p²) alike, have the length 2/p on each unit of area; so a bar's
 * fibre has the section p/2 · (mass of area)/ρ, and d = sqrt(4 · section / (π · packing)). Plane geometry, exact but for
 * the knots, whose fibre is counted as bar.
 * @throws RangeError where the yarn is no mesh
 */
export function meshBarMm(record: YarnRecord): Millimetres {
  const { mesh, stripWidthMm, tex, fibreDensityGPerCm3 } = record;
  if (!mesh || !stripWidthMm) throw new RangeError(`yarn ${record.id}: has no mesh or no stripWidthMm; give both`);
  const perWidth = fibreAreaMm2(tex, fibreDensityGPerCm3) / stripWidthMm;
  return Math.sqrt(((4 / Math.PI) * ((mesh.pitchMm / 2) * perWidth)) / mesh.barPacking);
}

/**
 * Share of a flat mesh that its bars cover: hexagons 1 − (1 − d/p)² (a hexagon of width p − d is open in one of width p),
 * squares the same. Exact for bars of even width d.
 */
export function meshCover(pitchMm: Millimetres, barMm: Millimetres): number {
  const open = Math.max(0, 1 - barMm / pitchMm);
  return 1 - open * open;
}
