import { describe, expect, it } from 'vitest';
import {
  CORE_TEXEL,
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  STRAND_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { looseFibreOptics, yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

const presets = await readAllYarnPresets();
const preset = (id: string) => presets.find((each) => each.id === id)!;
const round = { widthMm: 0.5, heightMm: 0.5 };

/** Colour and width of the lobe that a weft's strand and its hair are drawn with, and how many blocks the light's table has. */
function drawn(id: string) {
  const cloth = clothFixture({ ends: 4, rows: 4, warp: [round], weft: [round] });
  const { materialTable, scatterBlocks } = packCloth(cloth.problem, cloth.geometry, [
    cloth.materials[0],
    yarnMaterial([preset(id)]),
  ]);
  const row = MATERIAL_TEXELS;
  const face = (k: number) => {
    const at = (row + MATERIAL_HEADER_TEXELS + k * STRAND_TEXELS) * 4;
    return { colour: [...materialTable.subarray(at, at + 3)], widthRad: materialTable[at + 8] };
  };
  return { strand: face(0), hair: face(materialTable[(row + CORE_TEXEL) * 4 + 1]), scatterBlocks };
}

describe('hair of single fibres', () => {
  it('gleams more sharply than its yarn, in its yarn’s colour, and needs no table of its own', () => {
    const { strand, hair, scatterBlocks } = drawn('mohair-brushed');
    expect(hair.colour).toEqual(strand.colour);
    expect(hair.widthRad).toBeLessThan(0.6 * strand.widthRad);
    expect(scatterBlocks).toBe(2);
  });

  it.each(['cotton-chenille-1.7', 'loose-fibre-inlay', 'mohair-loop'])(
    'locks, wisps and strands gleam as their yarn: %s',
    (id) => {
      const { strand, hair } = drawn(id);
      expect(hair.widthRad).toBe(strand.widthRad);
    },
  );

  // Scales of mohair lie at 0.1 to 3.6°, those of fine wool at 0.5 to 7.6°; cotton is a twisted ribbon (common practice: mohair is
  // the lustrous one, carded cotton the dull one).
  it('goes by the fibre’s lustre: mohair before wool before cotton', () => {
    const widths = ['mohair-brushed', 'wool-brushed-2ply', 'cotton-8-2'].map(
      (id) => looseFibreOptics(preset(id)).surfaceWidthRad,
    );
    expect([...widths].sort((a, b) => a - b)).toEqual(widths);
    expect(new Set(widths).size).toBe(3);
    for (const id of ['mohair-brushed', 'wool-brushed-2ply', 'cotton-8-2'])
      expect(looseFibreOptics(preset(id)).surfaceWidthRad, id).toBeLessThan(yarnOptics(preset(id)).surfaceWidthRad);
  });
});
