import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { meanIndex, opticalFibre } from '#engine/yarn/fibreIndices.ts';
import { type YarnOptics, yarnOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';

const folder = new URL('../../../presets/yarns/', import.meta.url);
const records = readdirSync(folder)
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as YarnRecord);
const recordOf = (id: string): YarnRecord => records.find((record) => record.id === id)!;
const opticsOf = (id: string): YarnOptics => yarnOptics(recordOf(id));
const DEGREE = Math.PI / 180;

describe('optics of yarn presets', () => {
  it.each(records)('$id: numbers in range, each with its source', (record) => {
    const optics = yarnOptics(record);
    const { surface } = optics;
    expect(optics.eta).toBeGreaterThanOrEqual(1);
    expect(optics.eta).toBeLessThan(1.75);
    for (const share of [optics.isotropy, optics.throughShare, optics.metalReflectance]) {
      expect(share).toBeGreaterThanOrEqual(0);
      expect(share).toBeLessThanOrEqual(1);
    }
    const told = surface === 'fibre' ? ['eta', 'surfaceWidthRad', 'isotropy'] : ['eta', 'roughness'];
    for (const field of told) expect(optics.provenance[field]).toMatch(/published|handbook|estimate|memory|bare/);
    if (surface === 'fibre') {
      expect(optics.surfaceWidthRad).toBeGreaterThan(2 * DEGREE);
      expect(optics.surfaceWidthRad).toBeLessThan(40 * DEGREE);
      expect(optics.volumeWidthRad).toBeLessThanOrEqual(60 * DEGREE + 1e-12);
      expect(optics.volumeWidthRad).toBeGreaterThan(optics.surfaceWidthRad);
    } else {
      expect(optics.roughness).toBeGreaterThan(0.02);
      expect(optics.roughness).toBeLessThanOrEqual(0.3);
    }
  });

  it('kinds follow the sample card’s word for lustre', () => {
    for (const record of records) {
      const metal = ['film', 'metal', 'hologram'].includes(record.lustre ?? '');
      const expected = record.lustre === 'clear' ? 'clear' : metal ? 'metal' : 'fibre';
      expect(yarnOptics(record).surface, record.id).toBe(expected);
    }
  });

  it('order of lustre within round yarns (common practice): filament, mercerised, carded, woollen', () => {
    const widths = ['rayon-filament-300', 'viscose-10-2', 'cotton-10-2', 'cotton-8-2', 'woollen-2ply'].map(
      (id) => opticsOf(id).surfaceWidthRad,
    );
    // Spun viscose and mercerised cotton stand close.
    expect(widths[0]).toBeLessThan(widths[1]);
    expect(widths[2]).toBeLessThan(widths[3] * 0.7);
    expect(opticsOf('rayon-filament-300').isotropy).toBeLessThan(opticsOf('cotton-8-2').isotropy);
    expect(opticsOf('mohair-silk-lace').surfaceWidthRad).toBeLessThan(opticsOf('woollen-2ply').surfaceWidthRad);
  });

  it('fibres show less the straighter they lie (common practice): filament, spun silk, mercerised, worsted, carded cotton', () => {
    const ids = ['rayon-filament-300', 'silk-20-2', 'cotton-10-2', 'worsted-2-18', 'cotton-8-2'];
    const reliefs = ids.map((id) => opticsOf(id).fibreRelief!);
    expect([...reliefs].sort((a, b) => a - b)).toEqual(reliefs);
    expect(new Set(reliefs).size).toBe(ids.length);
    // Twist bends lobes, not fibres out of their order: two yarns of one silk stand alike.
    expect(opticsOf('silk-60-2').fibreRelief).toBe(opticsOf('silk-20-2').fibreRelief);
  });

  it('linen lies at the published 12° within a third', () => {
    const width = opticsOf('linen-20-2').surfaceWidthRad / DEGREE;
    expect(Math.abs(width / 12 - 1)).toBeLessThan(1 / 3);
  });

  it('more twist, less gloss', () => {
    const rayon = recordOf('rayon-filament-300');
    const widths = [0, 200, 800, 2000].map(
      (turns) => yarnOptics({ ...rayon, twistTurnsPerM: [turns, turns] }).surfaceWidthRad,
    );
    for (let k = 1; k < widths.length; k++) expect(widths[k]).toBeGreaterThan(widths[k - 1]);
  });

  it('delustred filament is duller than bright', () => {
    const bright = opticsOf('rayon-filament-300');
    const matte = yarnOptics({ ...recordOf('rayon-filament-300'), lustre: 'matte' });
    expect(matte.surfaceWidthRad).toBeGreaterThan(bright.surfaceWidthRad);
    expect(matte.isotropy).toBeGreaterThan(bright.isotropy);
  });

  it('fibres of singles lean with the twist, S to one side and Z to the other; plied ones lie along the yarn', () => {
    const single = recordOf('rayon-filament-300');
    const s = yarnOptics({ ...single, twistDirection: 'S' }).fibreAngleRad;
    expect(s).toBeLessThan(0);
    expect(yarnOptics({ ...single, twistDirection: 'Z' }).fibreAngleRad).toBe(-s);
    expect(opticsOf('cotton-8-2').fibreAngleRad).toBe(0);
  });

  it('names the fibre that stands first in a description', () => {
    expect(opticalFibre('polyester or silk organza')).toBe('polyester');
    expect(opticalFibre('wool or viscose fibre')).toBe('wool');
    expect(opticalFibre('mercerised cotton')).toBe('cotton');
    expect(opticalFibre('moon dust')).toBeUndefined();
    expect(meanIndex({ parallel: 1.6, across: 1.54 })).toBeCloseTo(1.56, 12);
  });
});
