import { expect, it } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { MATERIAL_TEXELS, STOPS_TEXEL } from '#engine/packing/clothBufferLayout.ts';
import { colourSteps } from '#engine/packing/far/colourSteps.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { colourAlong } from '#engine/yarn/colourRepeat.ts';
import { clothFixture, strandOf } from '#tests/helpers/clothFixtures.ts';

/** Beads of sailcloth and kelp, as a dyer would lay them out: 40 mm of one, 20 of the other. */
const repeat = {
  lengthMm: 60,
  startMm: 5,
  stops: [
    { atMm: 0, colour: '#e6e0d0' },
    { atMm: 40, colour: '#3f7a52' },
  ],
};

it('a weft that changes colour lies in the colours that its length gives, there and back', () => {
  const pitch = 2;
  const cloth = clothFixture({
    ends: 21,
    rows: 6,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: [{ widthMm: 0.5, heightMm: 0.5 }],
    endX: (end) => pitch * end,
    rowY: (row) => row,
  });
  const strand = {
    ...strandOf([0.5, 0.5, 0.5]),
    colours: {
      of: 'length' as const,
      lengthMm: repeat.lengthMm,
      startMm: repeat.startMm,
      stops: repeat.stops.map(({ atMm, colour }) => ({ from: atMm / 60, coneColour: linearFromHex(colour) })),
    },
  };
  const materials = cloth.materials.map((each, k) => (k === 1 ? { strands: [strand] } : each));
  const problem = { ...cloth.problem, rowEntersRight: Uint8Array.from({ length: 6 }, (_, row) => row % 2) };
  const takeUp = 0.1;
  const packed = packCloth(problem, cloth.geometry, materials, takeUp);
  const steps = colourSteps(packed)!;
  expect(steps.count).toBe(2);
  // As a length of yarn laid out by hand: each pick is 21 spaces over 1 − take-up, begun where the last one ended.
  const pickMm = (21 * pitch) / (1 - takeUp);
  const spanMm = 20 * pitch;
  let asked = 0;
  for (let row = 0; row < 6; row++) {
    for (let x = 1; x < spanMm; x += 3.1) {
      const share = row % 2 === 0 ? x / spanMm : 1 - x / spanMm;
      const along = row * pickMm + share * pickMm;
      const nearStop = [5, 45].some((at) => Math.abs(((along + at) % 60) - 0) < 0.01);
      if (nearStop) continue;
      const colour = repeat.stops[steps.ofRow(row, x)].colour;
      expect(colour, `pick ${row + 1}, ${x} mm`).toBe(colourAlong(repeat, along));
      asked++;
    }
  }
  expect(asked).toBeGreaterThan(70);
  // The packed stops are two, told apart.
  const at = (MATERIAL_TEXELS + STOPS_TEXEL) * 4;
  expect(packed.materialTable[at]).toBeGreaterThan(2 * packed.materialTable[at + 4]);
});

it('a cloth of plain yarns has no such steps', () => {
  const cloth = clothFixture({
    ends: 3,
    rows: 3,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: [{ widthMm: 0.5, heightMm: 0.5 }],
  });
  expect(colourSteps(packCloth(cloth.problem, cloth.geometry, cloth.materials))).toBeUndefined();
});
