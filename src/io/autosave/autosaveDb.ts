import { type DBSchema, type IDBPDatabase, openDB } from 'idb';

/** The latest autosave of one table: a sample being worked on, whatever its name. */
export interface TableRecord {
  readonly tableId: string;
  readonly name: string;
  /** The sample file's text. */
  readonly text: string;
  readonly savedAt: number;
  /** The page that may write here: the last one to have claimed the table. */
  readonly writer: string;
}

/** An older state of a table. */
export interface EarlierRecord {
  readonly tableId: string;
  readonly name: string;
  readonly text: string;
  readonly savedAt: number;
}

interface Schema extends DBSchema {
  tables: { key: string; value: TableRecord; indexes: { bySavedAt: number } };
  earlier: { key: number; value: EarlierRecord; indexes: { byTable: [string, number] } };
}

export type AutosaveDb = IDBPDatabase<Schema>;

/** Tables remembered; the one left longest goes first. */
const MOST_TABLES = 12;
/** Older states kept of each table, and the least time between two of them: about ten minutes of steady work. */
const MOST_EARLIER = 10;
const EARLIER_EVERY_MS = 60_000;

/** @throws DOMException where the browser keeps nothing for this page (private windows, storage switched off). */
export function openAutosaveDb(name = 'forecloth'): Promise<AutosaveDb> {
  return openDB<Schema>(name, 1, {
    upgrade(db) {
      db.createObjectStore('tables', { keyPath: 'tableId' }).createIndex('bySavedAt', 'savedAt');
      db.createObjectStore('earlier', { autoIncrement: true }).createIndex('byTable', ['tableId', 'savedAt']);
    },
    // A newer Forecloth in another tab must be able to change the layout.
    blocking: (_old, _new, event) => (event.target as IDBDatabase).close(),
  });
}

/** Makes `writer` the one page that may save this table. */
export async function claimTable(db: AutosaveDb, tableId: string, writer: string): Promise<void> {
  const tx = db.transaction('tables', 'readwrite');
  const record = await tx.store.get(tableId);
  if (record) await tx.store.put({ ...record, writer });
  await tx.done;
}

/**
 * Writes a table's latest state; what it replaces may join the older ones. All or nothing.
 * @returns false, with nothing written, where another page has claimed the table.
 * @throws DOMException (QuotaExceededError where there is no room); the old save is then untouched.
 */
export async function putTable(db: AutosaveDb, record: TableRecord): Promise<boolean> {
  const tx = db.transaction(['tables', 'earlier'], 'readwrite');
  // Reported through the calls below; without this the browser also logs it as unhandled.
  const done = tx.done.catch(() => {});
  try {
    const tables = tx.objectStore('tables');
    const old = await tables.get(record.tableId);
    if (old && old.writer !== record.writer) {
      await done;
      return false;
    }
    await tables.put(record);
    const earlier = tx.objectStore('earlier').index('byTable');
    const range = IDBKeyRange.bound([record.tableId, 0], [record.tableId, Number.POSITIVE_INFINITY]);
    const keys = await earlier.getAllKeys(range);
    const newest = await earlier.openCursor(range, 'prev');
    if (old && (!newest || old.savedAt - newest.value.savedAt >= EARLIER_EVERY_MS)) {
      const { writer: _writer, ...state } = old;
      await tx.objectStore('earlier').add(state);
      for (const key of keys.slice(0, Math.max(0, keys.length + 1 - MOST_EARLIER)))
        await tx.objectStore('earlier').delete(key);
    }
    const tableIds = await tables.index('bySavedAt').getAllKeys();
    for (const tableId of tableIds.slice(0, Math.max(0, tableIds.length - MOST_TABLES))) {
      await tables.delete(tableId);
      const gone = IDBKeyRange.bound([tableId, 0], [tableId, Number.POSITIVE_INFINITY]);
      for (const key of await earlier.getAllKeys(gone)) await tx.objectStore('earlier').delete(key);
    }
    await tx.done;
    return true;
  } catch (error) {
    try {
      tx.abort();
    } catch {
      // Already over: the failure itself ended it.
    }
    await done;
    throw error;
  }
}

/** Gives up all older states, to make room for the latest. */
export async function dropEarlier(db: AutosaveDb): Promise<void> {
  await db.clear('earlier');
}

/** Tables, the latest saved first. */
export async function listTables(db: AutosaveDb): Promise<TableRecord[]> {
  return (await db.getAllFromIndex('tables', 'bySavedAt')).reverse();
}

/** Older states of a table, the latest first. */
export async function listEarlier(db: AutosaveDb, tableId: string): Promise<EarlierRecord[]> {
  const range = IDBKeyRange.bound([tableId, 0], [tableId, Number.POSITIVE_INFINITY]);
  return (await db.getAllFromIndex('earlier', 'byTable', range)).reverse();
}
