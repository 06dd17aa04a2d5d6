import { describe, expect, test } from 'vitest';
import { MATERIAL_HEADER_TEXELS, MATERIAL_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { Leaf } from '#engine/packing/layLeaf.ts';
import { packInSteps } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { leafOptics } from '#engine/yarn/leafOptics.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { finish } from '#tests/helpers/finish.ts';

const RADIUS = 0.5;
const foil = (share: number, side: Leaf['side'] = 'face'): Leaf => ({
  side,
  share,
  face: { coneColour: [0.8, 0.6, 0.2], optics: leafOptics },
});

function leafed(leaves: readonly Leaf[], thickWeft = false): PackedCloth {
  const { problem, geometry, materials } = clothFixture({
    ends: 24,
    rows: 24,
    warp: [{ widthMm: 0.4, heightMm: 0.4 }],
    // Wefts float over all ends but a few, level and 1 mm apart: cylinders side by side.
    weft: [
      { widthMm: 2 * RADIUS, heightMm: 2 * RADIUS },
      { widthMm: 0.5, heightMm: 0.5 },
    ],
    rowYarn: (row) => (thickWeft && row % 4 !== 0 ? 1 : 0),
    warpUp: () => false,
  });
  return finish(packInSteps(problem, geometry, materials, 0, leaves));
}

/** Looks of one leaf, as the square root of their number (4096): 1.6 %, and 2 for the cloth's own border. */
const SHARE_TOLERANCE = 0.036;

describe('leaf on raised places', () => {
  // A cylinder seen from above: what lies within h of its crest covers the share √(1 − (1 − h/r)²) of its width.
  test.each([0.2, 0.4, 0.6])('on cylinders side by side, a share of %f reaches as deep as the circle says', (share) => {
    const { leaf } = leafed([foil(share)]);
    expect(leaf?.face?.share).toBeCloseTo(share, 2);
    // Borders, where warp alone is seen, take the rest.
    const more = (share + SHARE_TOLERANCE + 0.06) ** 2;
    expect(leaf?.face?.depthMm).toBeGreaterThan(RADIUS * (1 - Math.sqrt(1 - (share - SHARE_TOLERANCE) ** 2)));
    expect(leaf?.face?.depthMm).toBeLessThan(RADIUS * (1 - Math.sqrt(1 - more)));
  });

  test('what does not face the press takes none, however hard it is pressed', () => {
    const { leaf } = leafed([foil(1)]);
    // Of a cylinder, 0.8 of the width faces up by more than a cosine of 0.6.
    expect(leaf?.face?.share).toBeLessThan(0.8 + SHARE_TOLERANCE);
    expect(leaf?.face?.share).toBeGreaterThan(0.8 - 2 * SHARE_TOLERANCE);
  });

  test('a cord among fine wefts takes it alone', () => {
    const { leaf } = leafed([foil(0.15)], true);
    // Crests of fine wefts lie 0.25 mm below the cord's.
    expect(leaf?.face?.depthMm).toBeLessThan(0.25);
  });

  test('each side has its own, outwards of the cloth, in rows after the yarns’', () => {
    const cloth = leafed([foil(0.3), foil(0.3, 'back')]);
    const { face, back } = cloth.leaf ?? {};
    expect([face?.row, back?.row]).toEqual([3, 4]);
    expect(face?.heightMm).toBeGreaterThan(0);
    expect(back?.heightMm).toBeLessThan(0);
    const colour = (row: number) => (row * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS) * 4;
    const tint = cloth.materialTable.slice(colour(3), colour(3) + 3);
    expect(tint[0]).toBeGreaterThan(tint[2]);
    expect(cloth.materials).toBe(3);
  });

  test('without foil there is none', () => {
    expect(leafed([]).leaf).toBeUndefined();
  });
});
