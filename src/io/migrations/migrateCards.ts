import type { Outcome, PlacePath } from '#document/problem.ts';
import { loomFormat, warpFormat, yarnFormat } from './formats.ts';
import { isJsonObject, type JsonObject, migrate } from './migrate.ts';

/** Cards by id, each brought to the newest version. What is no group of cards is left for validation to say. */
export function migrateYarns(yarns: unknown, path: PlacePath): Outcome<unknown> {
  if (!isJsonObject(yarns)) return { ok: true, value: yarns };
  const cards: [string, JsonObject][] = [];
  for (const [id, value] of Object.entries(yarns)) {
    const card = migrate(value, yarnFormat, [...path, id]);
    if (!card.ok) return card;
    cards.push([id, card.value]);
  }
  return { ok: true, value: Object.fromEntries(cards) };
}

/** Kept versions whose differences put in a whole card, or all yarns: those cards have versions of their own too. */
export function migrateCardsOfVersions(versions: unknown): Outcome<unknown> {
  if (!Array.isArray(versions)) return { ok: true, value: versions };
  const migrated: unknown[] = [];
  for (const [i, version] of versions.entries()) {
    if (!isJsonObject(version) || !Array.isArray(version.differences)) {
      migrated.push(version);
      continue;
    }
    const differences: unknown[] = [];
    for (const [j, change] of version.differences.entries()) {
      const outcome = migrateChange(change, ['versions', i, 'differences', j, 'to']);
      if (!outcome.ok) return outcome;
      differences.push(outcome.value);
    }
    migrated.push({ ...version, differences });
  }
  return { ok: true, value: migrated };
}

function migrateChange(change: unknown, path: PlacePath): Outcome<unknown> {
  if (!isJsonObject(change) || change.change !== 'set' || !Array.isArray(change.at)) return { ok: true, value: change };
  const [part, id, ...deeper] = change.at as unknown[];
  if (deeper.length > 0 || !isJsonObject(change.to)) return { ok: true, value: change };
  let outcome: Outcome<unknown>;
  if (part === 'yarns') {
    outcome = id === undefined ? migrateYarns(change.to, path) : migrate(change.to, yarnFormat, path);
  } else if (id === undefined && (part === 'loom' || part === 'warp')) {
    outcome = migrate(change.to, part === 'loom' ? loomFormat : warpFormat, path);
  } else return { ok: true, value: change };
  return outcome.ok ? { ok: true, value: { ...change, to: outcome.value } } : outcome;
}
