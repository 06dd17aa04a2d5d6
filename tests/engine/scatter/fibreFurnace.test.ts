import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { FibreLobes } from '#engine/scatter/fibreLobes.ts';
import { fibreLobesOf } from '#engine/scatter/scatterTable.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { DEGREE, direction, FibreBench } from './lightBench.ts';

/** The field's own bound for scattering by fibres is 0.05; a hundredth keeps white yarns white to the eye (0.4 L*). */
const FURNACE = 0.01;

const folder = new URL('../../../presets/yarns/', import.meta.url);
const records = readdirSync(folder)
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as YarnRecord);

/** Every distinct set of lobes among the preset yarns, by the first yarn that has it. */
const settings = new Map<string, { name: string; lobes: FibreLobes }>();
for (const record of records) {
  const optics = yarnOptics(record);
  if (optics.surface !== 'fibre') continue;
  const lobes = fibreLobesOf(optics);
  const key = JSON.stringify(lobes);
  if (!settings.has(key)) settings.set(key, { name: record.id, lobes });
}

/** The finest published lobe and the widest: preset yarns lie between. */
const extremes = [
  {
    name: 'flat filament, 2.5°',
    lobes: { eta: 1.6, surfaceWidthRad: 2.5 * DEGREE, volumeWidthRad: 5 * DEGREE, isotropy: 0.1, exposure: 3.4 },
  },
  {
    name: 'twisted filament, 30°',
    lobes: { eta: 1.539, surfaceWidthRad: 30 * DEGREE, volumeWidthRad: 60 * DEGREE, isotropy: 0.7, exposure: 1 },
  },
];

describe('white furnace: without absorption, a yarn returns all light', () => {
  it.each(extremes)('$name, at every tilt within a pixel', ({ lobes }) => {
    const bench = new FibreBench(lobes);
    for (const tiltDeg of [0, 1.7, 5, 12, 26, 45]) {
      for (const polar of [0, 20, 40, 60, 70, 80]) {
        for (const azimuth of [0, 30, 60, 90]) {
          const { surface, volume } = bench.furnace(direction(polar, azimuth), tiltDeg * DEGREE);
          const what = `tilt ${tiltDeg}°, ${polar}° from the normal, ${azimuth}° from the fibre`;
          expect(Math.abs(surface + volume - 1), what).toBeLessThanOrEqual(FURNACE);
        }
      }
    }
  });

  it.each([...settings.values()])('lobes of $name', ({ lobes }) => {
    const bench = new FibreBench(lobes);
    for (const [polar, azimuth] of [
      [0, 0],
      [50, 90],
      [80, 0],
      [80, 50],
    ]) {
      const { surface, volume } = bench.furnace(direction(polar, azimuth), 4 * DEGREE);
      const what = `${polar}° from the normal, ${azimuth}° from the fibre`;
      expect(Math.abs(surface + volume - 1), what).toBeLessThanOrEqual(FURNACE);
      // The table's E_s is what shading in a smooth room uses.
      expect(Math.abs(surface - bench.surfaceAlbedo(direction(polar, azimuth), 4 * DEGREE)), what).toBeLessThan(
        FURNACE,
      );
    }
  });

  it('would fail without the scale factors: the bare lobes return too much, and unevenly', () => {
    const bench = new FibreBench(extremes[0].lobes);
    const { data } = bench.table;
    for (let k = 0; k < data.length; k += 4) data[k + 1] = 1;
    const returned = [0, 60, 80].map((polar) => bench.furnace(direction(polar, 0)).volume);
    expect(returned[0]).toBeGreaterThan(1.2);
    expect(returned[2]).toBeGreaterThan(2 * returned[0]);
  });
});
