import type { DocumentProblem } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { type AutosaveDb, listEarlier, listTables } from './autosaveDb.ts';

export interface Restored {
  readonly tableId: string;
  readonly savedAt: number;
  readonly sample: Sample;
  /** Where the latest state could not be read and an older one stands in for it: why. */
  readonly fellBackBecause?: DocumentProblem;
}

export interface RecentTable {
  readonly tableId: string;
  readonly name: string;
  readonly savedAt: number;
}

/** The table as it was left, or its newest older state that can be read; null where there is none. */
export async function restoreTable(db: AutosaveDb, tableId: string): Promise<Restored | null> {
  const table = await db.get('tables', tableId);
  if (!table) return null;
  const latest = readSampleText(table.text);
  if (latest.ok) return { tableId, savedAt: table.savedAt, sample: latest.value };
  for (const state of await listEarlier(db, tableId)) {
    const outcome = readSampleText(state.text);
    if (!outcome.ok) continue;
    return { tableId, savedAt: state.savedAt, sample: outcome.value, fellBackBecause: latest.problems[0] };
  }
  return null;
}

/** What was last worked on, for when the page opens; null on a first visit. */
export async function restoreLatest(db: AutosaveDb): Promise<Restored | null> {
  for (const { tableId } of await listTables(db)) {
    const restored = await restoreTable(db, tableId);
    if (restored) return restored;
  }
  return null;
}

/** The sample of this name that was worked on last, as it was left; null where none is kept or can be read. */
export async function restoreNamed(db: AutosaveDb, name: string): Promise<Restored | null> {
  for (const table of await listRecent(db)) {
    if (table.name !== name) continue;
    const restored = await restoreTable(db, table.tableId);
    if (restored) return restored;
  }
  return null;
}

export async function listRecent(db: AutosaveDb): Promise<RecentTable[]> {
  return (await listTables(db)).map(({ tableId, name, savedAt }) => ({ tableId, name, savedAt }));
}
