import { describe, expect, it } from 'vitest';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { packWoundCard, woundCard } from '#engine/packing/woundCard.ts';
import { woundCardScale } from '#engine/packing/woundCardScale.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readAllYarnPresets } from '#io/presets.ts';

const records: readonly YarnRecord[] = await readAllYarnPresets();
/** 56 px at 96 px to the inch. */
const LIFE_SIZE_MM = (56 * 25.4) / 96;

/** Between the edges of film, hundredths of a millimetre thin, a ray may slip to the card. */
const FILM_SEAMS = 0.02;

function cardOf(record: YarnRecord): { readonly cloth: PackedCloth; readonly sideMm: number } {
  const sideMm = LIFE_SIZE_MM / woundCardScale(yarnBody(yarnFactsOf(record)).bodyWidthMm, LIFE_SIZE_MM);
  const steps = packWoundCard(record, sideMm);
  for (;;) {
    const step = steps.next();
    if (step.done) return { cloth: step.value, sideMm };
  }
}

const preset = (id: string) => records.find((record) => record.id === id)!;

describe('a wound card', () => {
  // A stem's bristles stand apart, so that wire and card show between them; nothing else does.
  it.each([
    ['cotton-8-2', 0, 0],
    ['silk-60-2', 0, 0],
    ['metal-film-1-69', 0, FILM_SEAMS],
    ['cotton-cord-5', 0, 0],
    ['cloth-strip-20', 0, 0],
    ['chenille-stem-6', 0.02, 0.5],
    ['wire-silver-0.1', 0, 0],
  ])('%s: turns touch, and only card shows above, below and between them', (id, least, most) => {
    const { cloth, sideMm } = cardOf(preset(id));
    expect(cloth.warnings).toEqual([]);
    const { turns } = woundCard(yarnBody(yarnFactsOf(preset(id))), sideMm);
    const walker = new ClothWalker(cloth);
    const hit = createWalkHit();
    const seen = new Set<number>();
    const side = 48;
    let missed = 0;
    let behind = 0;
    for (let j = 0; j < side; j++) {
      for (let i = 0; i < side; i++) {
        const x = ((i + 0.5) / side - 0.5) * sideMm;
        const y = ((j + 0.5) / side - 0.5) * sideMm;
        if (!walker.walk(hit, x, y, 10 * sideMm, 0, 0, -1, 0, 1e9)) missed++;
        else if (hit.kind === ThreadKind.warp) behind++;
        // A wide strip's turn at the picture's edge may look round it; it is the yarn all the same.
        else if (hit.kind === ThreadKind.weft) seen.add(hit.index);
      }
    }
    expect(missed).toBe(0);
    expect(behind / (side * side)).toBeGreaterThanOrEqual(least);
    expect(behind / (side * side)).toBeLessThanOrEqual(most);
    expect(turns).toBeGreaterThanOrEqual(3);
    expect(seen.has(0) && seen.has(turns + 1)).toBe(true);
    // All turns, where the grid is fine enough to meet each.
    if (turns < side / 2) expect(seen.size).toBe(turns + 2);
  });

  it('leans by 38° where the picture ends, and is level in the middle', () => {
    const { geometry } = woundCard(yarnBody(yarnFactsOf(preset('silk-60-2'))), 8);
    const { slope } = geometry.weft;
    const middle = (geometry.ends - 1) / 2;
    expect(slope[geometry.ends + middle]).toBeCloseTo(0, 9);
    // A circle's arc: sin of the lean goes with the place; the outermost station lies 6 % beyond the edge.
    const lean = Math.atan(slope[geometry.ends]);
    expect(Math.sin(lean)).toBeCloseTo(1.06 * Math.sin((38 * Math.PI) / 180), 5);
  });
});

describe('the scale of a wound card', () => {
  it('is twice life size for most yarns, and as much less as three turns ask for', () => {
    expect(woundCardScale(0.1, LIFE_SIZE_MM)).toBe(2);
    expect(woundCardScale(2.1, LIFE_SIZE_MM)).toBe(2);
    expect(woundCardScale(2.2, LIFE_SIZE_MM)).toBe(1);
    expect(woundCardScale(5, LIFE_SIZE_MM)).toBe(0.5);
    for (const record of records) {
      const { bodyWidthMm } = yarnBody(yarnFactsOf(record));
      const sideMm = LIFE_SIZE_MM / woundCardScale(bodyWidthMm, LIFE_SIZE_MM);
      expect(bodyWidthMm * 3, record.id).toBeLessThan(sideMm);
    }
  });
});
