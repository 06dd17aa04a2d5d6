import type { YarnHair } from '#engine/yarn/hair.ts';
import { MAX_HAIR_LAYERS } from './clothBufferLayout.ts';
import type { HairLattice } from './hairTable.ts';

/**
 * Lattices of strands wound round their core: each cell, half a turn long by half of the section, holds a half turn that goes from one
 * corner of it to the other, so that it goes on in the other half's next cell. Two strands a lattice; of an odd number some half
 * turns of every strand are left out, by chance.
 */
export function latticeOfWinds({ perMm }: YarnHair, windsPerMm: number): HairLattice {
  const cellMm = 0.5 / Math.abs(windsPerMm);
  const wanted = (perMm * cellMm) / 2;
  const layers = Math.min(MAX_HAIR_LAYERS, Math.max(1, Math.ceil(wanted - 1e-9)));
  return { cellMm, sectors: 2, layers, presence: Math.min(1, wanted / layers) };
}

/**
 * A half turn, laid out as in `layHairs`: its ends lie on the body, which reaches to the strand's centre line, on opposite sides of it; its
 * middle, half way from there to the control point, as far off as the strand's height lets it.
 * @param radiusMm of the body
 * @param heightMm how far the strand stands off it
 */
export function layWind({ diameterMm }: YarnHair, windsPerMm: number, radiusMm: number, heightMm: number): number[] {
  const cellMm = 0.5 / Math.abs(windsPerMm);
  const start = windsPerMm > 0 ? 1 : -1;
  const middle = heightMm - diameterMm / 2;
  return [0, Math.max(0, middle), start, 0, cellMm / 2, radiusMm + 2 * middle, 0, 1, cellMm, 0, -start, 0];
}
