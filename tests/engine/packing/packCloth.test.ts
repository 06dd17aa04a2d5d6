import { describe, expect, test } from 'vitest';
import {
  MATERIAL_HEADER_TEXELS,
  MATERIAL_TEXELS,
  MAX_TEXTURE_SIDE,
  STRAND_TEXELS,
  TABLE_WIDTH,
  TILE_CELLS,
  TILE_TEXELS,
} from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { createTubeSegment } from '#engine/packing/walk/tubeSegment.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { seededRandom, walkScenes } from '#tests/helpers/walkScenes.ts';

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });

function packed(options: Parameters<typeof clothFixture>[0]) {
  const { problem, geometry, materials } = clothFixture(options);
  return packCloth(problem, geometry, materials);
}

describe('finding a cell', () => {
  test('agrees with looking at every thread, pitch uneven 1:10 and several rows at one height, seed 11', () => {
    const random = seededRandom(11);
    for (const { cloth } of walkScenes()) {
      const reader = new ClothReader(packCloth(cloth.problem, cloth.geometry, cloth.materials));
      const { ends, lines } = reader.cloth;
      const [left, right] = [reader.endX(0) - 2, reader.endX(ends - 1) + 2];
      const [low, high] = [reader.lineY(0) - 2, reader.lineY(lines - 1) + 2];
      for (let k = 0; k < 500; k++) {
        const x = k < ends ? reader.endX(k) : left + random() * (right - left);
        const y = k < lines ? reader.lineY(k) : low + random() * (high - low);
        let end = -1;
        while (end + 1 < ends && reader.endX(end + 1) <= x) end++;
        let line = -1;
        while (line + 1 < lines && reader.lineY(line + 1) <= y) line++;
        expect(reader.endCellAt(x)).toBe(end);
        expect(reader.lineCellAt(y)).toBe(line);
      }
    }
  });
});

describe('rows side by side', () => {
  const cloth = packed({
    ends: 12,
    rows: 6,
    warp: [round(0.4)],
    weft: [round(0.4)],
    rowY: (k) => Math.floor(k / 2),
    rowSpan: (k) => (k & 1 ? [7, 11] : [0, 5]),
  });
  const reader = new ClothReader(cloth);

  test('share a line, and each end finds the row present there', () => {
    expect(cloth.lines).toBe(3);
    expect(reader.rowAt(1, 3)).toBe(2);
    expect(reader.rowAt(1, 9)).toBe(3);
    // Where neither passes, the line's first row stands for both.
    expect(reader.rowAt(1, 6)).toBe(2);
  });

  test('are absent outside their span', () => {
    const segment = createTubeSegment();
    expect(reader.loadWeft(segment, 2, 4, 4, 5)).toBe(true);
    expect(reader.loadWeft(segment, 2, 5, 5, 6)).toBe(false);
    expect(reader.loadWeft(segment, 3, 6, 6, 7)).toBe(false);
  });

  test('that overlap keep lines of their own', () => {
    const over = packed({
      ends: 12,
      rows: 4,
      warp: [round(0.4)],
      weft: [round(0.4)],
      rowY: (k) => Math.floor(k / 2),
      rowSpan: (k) => (k & 1 ? [4, 8] : [0, 11]),
    });
    expect(over.lines).toBe(4);
    expect(over.sideBySide).toBe(false);
  });
});

describe('tiles', () => {
  const reachEnds = (cloth: ReturnType<typeof packed>, tile: number) => cloth.tileTable[tile * TILE_TEXELS * 4] & 3;

  test.each([
    [0.8, 1],
    [1.9, 1],
    [2.1, 2],
    [3.9, 2],
    [4.1, 3],
    [5.8, 3],
  ])('threads %f pitches wide are looked for %i cells away', (widthMm, reach) => {
    const cloth = packed({ ends: 24, rows: 24, warp: [{ widthMm, heightMm: 0.2 }], weft: [round(0.2)] });
    expect(reachEnds(cloth, cloth.tilesAcross + 1)).toBe(reach);
    expect(cloth.warnings).toEqual([]);
  });

  test('a thread beyond reach is named', () => {
    const cloth = packed({ ends: 24, rows: 24, warp: [{ widthMm: 8, heightMm: 0.2 }], weft: [round(0.2)] });
    expect(cloth.warnings.join()).toContain('more than 3 pitches');
  });

  test('hold every extra where it lies', () => {
    const cloth = packed({ ends: 24, rows: 24, warp: [round(0.5)], weft: [round(0.5)] });
    const reader = new ClothReader(cloth);
    const all = new Set<number>();
    for (let line = -1; line < 24; line++) {
      for (let end = -1; end < 24; end++) {
        const count = reader.extrasIn(line, end);
        for (let k = 0; k < count; k++) all.add(cloth.extraList[(reader.firstExtra + k) * 4]);
        // Turns and cut ends keep to the outermost crossings.
        if (Math.min(line, end) > 1 && Math.max(line, end) < 21) expect(count).toBe(0);
        expect(count).toBeLessThan(8);
      }
    }
    expect([...all].sort((a, b) => a - b)).toEqual(Array.from({ length: cloth.extras }, (_, k) => k));
    expect(cloth.tilesAcross).toBe(Math.ceil(25 / TILE_CELLS));
    // Two cut ends a warp end; two halves a turn; two tails at the first entry and last exit.
    expect(cloth.extras).toBe(24 * 2 + 23 * 2 + 2);
  });
});

describe('size', () => {
  test('a repeat is stored once: 24 bytes a distinct crossing', () => {
    const cloth = packed({
      ends: 400,
      rows: 300,
      warp: [round(0.5)],
      weft: [round(0.5)],
      periodRows: 4,
      periodEnds: 8,
    });
    expect(cloth.warpNodes.byteLength + cloth.weftNodes.byteLength).toBe(4 * 8 * 24);
  });

  test('no side of a table passes 4096', () => {
    const cloth = packed({ ends: 5000, rows: 4, warp: [round(0.5)], weft: [round(0.5)], periodEnds: 4 });
    for (const table of [cloth.endTable, cloth.bucketTable, cloth.tileTable, cloth.extraTable, cloth.extraList]) {
      expect(table.length / 4 / TABLE_WIDTH).toBeLessThanOrEqual(MAX_TEXTURE_SIDE);
      expect(table.length % (4 * TABLE_WIDTH)).toBe(0);
    }
  });

  test('pages split a large repeat and every node is read back', () => {
    const slopes = (_family: 'warp' | 'weft', row: number, end: number) => ((row * 7 + end * 3) % 64) / 64;
    const cloth = packed({ ends: 600, rows: 530, warp: [round(0.5)], weft: [round(0.5)], slopes });
    expect(cloth.pages).toBe(4);
    const reader = new ClothReader(cloth);
    const segment = createTubeSegment();
    for (const [row, end] of [
      [0, 0],
      [511, 511],
      [512, 511],
      [511, 512],
      [520, 590],
    ]) {
      expect(reader.loadWarp(segment, end, row, row, row + 1)).toBe(true);
      expect(segment.z1).toBe(slopes('warp', row, end));
    }
  });
});

describe('materials', () => {
  test('strand colours lie in their yarn’s row', () => {
    const cloth = packed({
      ends: 4,
      rows: 4,
      warp: [round(0.5)],
      weft: [
        {
          ...round(0.5),
          colours: [
            [0.1, 0.2, 0.3],
            [0.4, 0.5, 0.6],
          ],
        },
      ],
    });
    const at = MATERIAL_TEXELS * 4;
    expect(cloth.materialTable[at]).toBe(2);
    // On the cone light goes from turn to turn, so that fibres reflect more than the cone shows.
    const strands = [0, 1].map((k) => {
      const from = at + (MATERIAL_HEADER_TEXELS + k * STRAND_TEXELS) * 4;
      return Array.from(cloth.materialTable.subarray(from, from + 3));
    });
    expect(strands[0][0]).toBeLessThan(strands[1][0]);
    for (const [k, cone] of [0.4, 0.5, 0.6].entries()) expect(strands[1][k]).toBeGreaterThan(cone);
    const mean = Array.from(cloth.materialTable.subarray(at + 5, at + 8));
    for (const k of [0, 1, 2]) expect(mean[k]).toBeCloseTo((strands[0][k] + strands[1][k]) / 2, 6);
  });
});

describe('refuses, with the place', () => {
  const fixture = clothFixture({ ends: 4, rows: 4, warp: [round(0.5)], weft: [round(0.5)] });
  const { problem, geometry, materials } = fixture;

  test('rows that descend', () => {
    const rowYMm = Float32Array.from([0, 2, 1, 3]);
    expect(() => packCloth(problem, { ...geometry, rowYMm }, materials)).toThrow(/row 3: .*must not descend/);
  });

  test('materials that do not match the yarns', () => {
    expect(() => packCloth(problem, geometry, materials.slice(1))).toThrow(/1 given for 2 yarns/);
  });

  test('a geometry of another cloth', () => {
    expect(() => packCloth(problem, { ...geometry, rows: 5 }, materials)).toThrow(/solve again/);
  });

  test('a row that ends beyond the cloth', () => {
    const rowLast = Uint32Array.from([3, 3, 4, 3]);
    expect(() => packCloth({ ...problem, rowLast }, geometry, materials)).toThrow(/row 3: passes ends 1 to 5/);
  });
});
