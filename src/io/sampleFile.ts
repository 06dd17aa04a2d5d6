import type { Outcome } from '#document/problem.ts';
import { sampleFromFile, sampleToFile } from '#document/sampleFromFile.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { loomFormat, sampleFormat, warpFormat } from './migrations/formats.ts';
import { isJsonObject, type JsonObject, migrate } from './migrations/migrate.ts';
import { migrateCardsOfVersions, migrateYarns } from './migrations/migrateCards.ts';
import { parseJson } from './parseJson.ts';
import { prettyJson } from './prettyJson.ts';

const SAMPLE_FILE_EXTENSION = '.forecloth.json';

/**
 * A sample from the text of its file: parsed, brought to the newest version, validated field by field and as a whole.
 * Every problem says what is wrong, where, and what to do. Never throws, and never changes anything but what it returns.
 */
export function readSampleText(text: string): Outcome<Sample> {
  const json = parseJson(text);
  return json.ok ? readSampleJson(json.value) : json;
}

/** As `readSampleText`, from JSON already parsed. */
export function readSampleJson(json: unknown): Outcome<Sample> {
  const migrated = migrateSample(json);
  return migrated.ok ? sampleFromFile(migrated.value) : migrated;
}

/** Stable text: the same sample gives the same characters, one pick a line. Compact notation stays as it was written. */
export function writeSampleText(sample: Sample): string {
  return prettyJson(sampleToFile(sample), { oneLineEntries: ['picks', 'insert'] });
}

/**
 * The sample's own steps first, then those of the cards within, each of which has a version of its own. Kept versions
 * are differences in the terms of the file's version: a step that moves a field moves it in their paths as well.
 */
function migrateSample(json: unknown): Outcome<JsonObject> {
  const sample = migrate(json, sampleFormat);
  if (!sample.ok) return sample;
  const file = { ...sample.value };
  for (const [key, format] of [
    ['loom', loomFormat],
    ['warp', warpFormat],
  ] as const) {
    if (!isJsonObject(file[key])) continue; // Missing or no card at all: validation says so.
    const card = migrate(file[key], format, [key]);
    if (!card.ok) return card;
    file[key] = card.value;
  }
  const yarns = migrateYarns(file.yarns, ['yarns']);
  if (!yarns.ok) return yarns;
  if (file.yarns !== undefined) file.yarns = yarns.value;
  const versions = migrateCardsOfVersions(file.versions);
  if (!versions.ok) return versions;
  if (file.versions !== undefined) file.versions = versions.value;
  return { ok: true, value: file };
}

/** A name made of letters, figures and hyphens, which every system takes in file names; may come out empty. */
export function plainName(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/[^\p{Letter}\p{Number}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
}

/** A file name that every system takes, from the sample's own name; with the ending of another kind of file, where one is given. */
export function sampleFileName(sample: Sample, ending = SAMPLE_FILE_EXTENSION): string {
  return `${plainName(sample.name) || 'sample'}${ending}`;
}
