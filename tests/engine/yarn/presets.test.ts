import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { roundDiameterMm } from '#engine/yarn/diameter.ts';
import { raceTrackAreaMm2 } from '#engine/yarn/section.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { yarnsBeyondFacts, yarnsOfTheirOwn } from '#tests/helpers/yarnsBeyondFacts.ts';
import yarnFacts from '#tests/reference/data/yarn-facts.json';

/**
 * Yarn facts gathered from books, papers and weavers' published notes (`tests/reference/data/yarn-facts.json`; its
 * `provenance` says which of them were read, computed, common practice or from memory).
 */
interface YarnFactsEntry {
  readonly id: string;
  readonly tex: number;
  readonly diameter_computed_mm?: number;
  readonly diameter_contact_mm?: number;
  readonly diameter_free_mm?: number;
  readonly diameter_from_wraps_mm?: number;
  readonly flat_width_mm?: number;
  readonly width_in_cloth_mm?: readonly [number, number];
}
const entries = yarnFacts.yarns as unknown as readonly YarnFactsEntry[];

const folder = new URL('../../../presets/yarns/', import.meta.url);
const records = readdirSync(folder)
  .filter((name) => name.endsWith('.json'))
  .map((name) => ({ name, record: JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as YarnRecord }));
const recordOf = new Map(records.map(({ record }) => [record.id, record]));

/** The facts print diameters to three figures, and tex to four. */
const PRINTED_REL = 0.006;

/** Loosely spun or unspun: the computed diameter is that of the yarn as it lies, so it is compared with the free width. */
const computedAsFree = new Set(['cotton-boucle', 'wool-roving', 'wool-pencil-roving']);

describe('yarn presets', () => {
  it('hold every yarn of the facts, one a file named by its id', () => {
    const ids = [...entries.map(({ id }) => id), ...Object.keys(yarnsBeyondFacts), ...yarnsOfTheirOwn];
    expect(records.map(({ name }) => name).sort()).toEqual(ids.map((id) => `${id}.json`).sort());
    for (const { name, record } of records) expect(`${record.id}.json`).toBe(name);
  });

  it.each(Object.entries(yarnsBeyondFacts))('%s, beyond the facts, is spun and twisted as %s', (id, like) => {
    const spun = (each: string) => ({ ...yarnFactsOf(recordOf.get(each)!), id: '', name: '' });
    expect(spun(id)).toEqual(spun(like));
  });

  it.each(records)('$record.id has widths in order, a section, and bends', ({ record }) => {
    expect(record.format).toBe('forecloth-yarn');
    expect([1, 2, 3]).toContain(record.version);
    const body = yarnBody(yarnFactsOf(record));
    expect(body.contactWidthMm).toBeGreaterThan(0);
    expect(body.contactHeightMm).toBeGreaterThan(0);
    expect(body.bodyWidthMm).toBeGreaterThanOrEqual(body.contactWidthMm);
    expect(body.freeWidthMm).toBeGreaterThanOrEqual(body.bodyWidthMm);
    expect(body.bodyHeightMm).toBeGreaterThanOrEqual(body.contactHeightMm);
    expect(body.bendingNmm2).toBeGreaterThan(0);
    expect(body.contactStiffnessN).toBeGreaterThan(0);
    // Hard crepe twist lies at 45°.
    expect(body.twistAngleRad).toBeLessThan(Math.PI / 3.5);
    // A strip opens no wider than it was cut, and lies no flatter than its gauge.
    if (record.shape === 'strip') {
      expect(body.bodyWidthMm).toBeLessThanOrEqual(record.stripWidthMm!);
      expect(body.contactHeightMm).toBeGreaterThanOrEqual(record.gaugeMm ?? 0);
    }
  });

  it.each(records)('$record.id says where each number comes from', ({ record }) => {
    const told = ['format', 'version', 'id', 'name', 'fibre', 'count', 'shape', 'cautions'];
    const fields = Object.keys(record).filter(
      (key) => !told.includes(key) && key !== 'provenance' && key !== 'sources',
    );
    for (const field of fields) {
      expect(record.provenance?.[field], field).toMatch(/read|computed|common practice|from memory/);
    }
    expect(record.sources?.length).toBeGreaterThan(0);
    expect(record.coneColour).toMatch(/^#[0-9a-f]{6}$/);
  });

  const rounds = entries.filter((entry) => entry.flat_width_mm === undefined);
  it.each(rounds)('$id is as thick as published (diameter_computed_mm, diameter_contact_mm)', (entry) => {
    const body = yarnBody(yarnFactsOf(recordOf.get(entry.id)!));
    const published = entry.diameter_contact_mm ?? entry.diameter_computed_mm!;
    // Of loose fibre the facts give the round thread of its mass; it lies as a band of the same area.
    const lies = body.looseFibre
      ? Math.sqrt((4 * raceTrackAreaMm2(body.contactWidthMm, body.contactHeightMm)) / Math.PI)
      : body.contactWidthMm;
    const ours = computedAsFree.has(entry.id) ? body.freeWidthMm : lies;
    expect(Math.abs(ours - published)).toBeLessThanOrEqual(PRINTED_REL * published);
  });

  // Cloth and net strips: the facts give the round rope of the same mass at the packing given.
  const folded = entries.filter(
    (entry) => entry.flat_width_mm !== undefined && recordOf.get(entry.id)!.compressibility !== 'none',
  );
  it.each(folded)(
    '$id rolls up as published, and lies in cloth within the widths given (width_in_cloth_mm)',
    (entry) => {
      const record = recordOf.get(entry.id)!;
      const published = entry.diameter_contact_mm ?? entry.diameter_computed_mm!;
      const rolled = roundDiameterMm(record.tex, record.packingFraction, record.fibreDensityGPerCm3);
      expect(Math.abs(rolled - published)).toBeLessThanOrEqual(PRINTED_REL * published);
      const body = yarnBody(yarnFactsOf(record));
      const [least, most] = entry.width_in_cloth_mm!;
      // Crushed net and organza are given to two figures, and lie a little under the narrowest seen in cloth.
      const PRINTED_MM = 0.25;
      expect(body.contactWidthMm).toBeGreaterThanOrEqual(Math.min(least, published) - PRINTED_MM);
      expect(body.contactWidthMm).toBeLessThanOrEqual(most);
    },
  );

  const wrapped = entries.filter((entry) => entry.diameter_from_wraps_mm !== undefined);
  it.each(wrapped)('$id is as wide where nothing presses as its wraps (diameter_from_wraps_mm)', (entry) => {
    const body = yarnBody(yarnFactsOf(recordOf.get(entry.id)!));
    // Class tables run to ±12 % (knitting yarns 0.386–0.483 about 0.43); ruler counts of threads closer.
    const WRAPS_REL = 0.13;
    expect(Math.abs(body.bodyWidthMm - entry.diameter_from_wraps_mm!)).toBeLessThanOrEqual(
      WRAPS_REL * entry.diameter_from_wraps_mm!,
    );
  });
});
