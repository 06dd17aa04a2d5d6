import { deleteDB } from 'idb';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { setBeat } from '#document/commands/beatCommands.ts';
import { renameSample } from '#document/commands/sampleCommands.ts';
import { loadSample } from '#document/commands/versionCommands.ts';
import { createSampleStore, type SampleStore } from '#document/store/sampleStore.ts';
import { type Autosave, startAutosave } from '#io/autosave/autosave.ts';
import { type AutosaveDb, listEarlier, listTables, openAutosaveDb, putTable } from '#io/autosave/autosaveDb.ts';
import { listRecent, restoreLatest, restoreTable } from '#io/autosave/restore.ts';
import { smallSample } from '#tests/document/smallSample.ts';

let db: AutosaveDb;
let name: string;
const running: Autosave[] = [];

beforeEach(async () => {
  name = `forecloth-test-${crypto.randomUUID()}`;
  db = await openAutosaveDb(name);
});

afterEach(async () => {
  vi.restoreAllMocks();
  for (const autosave of running.splice(0)) await autosave.stop();
  db.close();
  await deleteDB(name);
});

/** A page of its own: store, autosave and writer's name. The tabs of a browser share the database, locks and channel. */
async function openPage(from?: { tableId: string; savedAt: number; sample: ReturnType<typeof smallSample> }) {
  const store: SampleStore = createSampleStore(from?.sample ?? smallSample());
  const autosave = await startAutosave(store, db, from);
  running.push(autosave);
  return { store, autosave, status: () => autosave.state.getState().status };
}

/** The promise is half a second from command to save; the rest is for a busy machine. */
const SAVED_WITHIN = { timeout: 3000, interval: 20 };

test('a command is saved by itself, and the page says saving and then saved', async () => {
  const { store, autosave, status } = await openPage();
  const seen: string[] = [];
  autosave.state.subscribe(({ status: now }) => seen.push(now));
  store.dispatch(renameSample('low tide'));
  expect(status()).toBe('saving');
  await vi.waitFor(() => expect(status()).toBe('saved'), SAVED_WITHIN);
  expect([...new Set(seen)]).toEqual(['saving', 'saved']);
  const restored = await restoreLatest(db);
  expect(restored?.sample).toEqual(store.state.getState().sample);
  expect(restored?.savedAt).toBe(autosave.state.getState().savedAt);
});

test('nothing is stored before the first change, and a first visit restores nothing', async () => {
  const { autosave } = await openPage();
  await autosave.flush();
  expect(await restoreLatest(db)).toBeNull();
});

test('a drag is saved when it is committed, once', async () => {
  const puts = vi.spyOn(IDBObjectStore.prototype, 'put');
  const { store, status } = await openPage();
  store.begin('drag the beat');
  for (let i = 1; i <= 50; i++) store.dispatch(setBeat({ firmness: i / 100 }));
  await new Promise((resolve) => setTimeout(resolve, 600));
  expect(puts).not.toHaveBeenCalled();
  store.commit();
  expect(status()).toBe('saving');
  await vi.waitFor(() => expect(status()).toBe('saved'), SAVED_WITHIN);
  expect(puts).toHaveBeenCalledOnce();
  expect((await restoreLatest(db))?.sample.beat.firmness).toBe(0.5);
});

test('changes made while a save is under way are saved after it', async () => {
  const { store, autosave, status } = await openPage();
  store.dispatch(renameSample('first'));
  const first = autosave.flush();
  store.dispatch(renameSample('second'));
  await first;
  await vi.waitFor(() => expect(status()).toBe('saved'), SAVED_WITHIN);
  expect((await restoreLatest(db))?.sample.name).toBe('second');
});

test('without room the old save stays, the reason is shown, and the next change tries again', async () => {
  const { store, autosave, status } = await openPage();
  store.dispatch(renameSample('kept'));
  await autosave.flush();
  const full = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
    throw new DOMException('full', 'QuotaExceededError');
  });
  store.dispatch(renameSample('lost'));
  await autosave.flush();
  expect(status()).toBe('failed');
  expect(autosave.state.getState().reason).toMatch(/no room left.*last save is kept.*save to a file/i);
  full.mockRestore();
  expect((await restoreLatest(db))?.sample.name).toBe('kept');
  store.dispatch(renameSample('room again'));
  await autosave.flush();
  expect(autosave.state.getState()).toMatchObject({ status: 'saved', reason: null });
  expect((await restoreLatest(db))?.sample.name).toBe('room again');
});

test('a browser that keeps nothing is told of', async () => {
  const store = createSampleStore(smallSample());
  const autosave = await startAutosave(store, null);
  running.push(autosave);
  store.dispatch(renameSample('mist'));
  await autosave.flush();
  expect(autosave.state.getState()).toMatchObject({ status: 'failed' });
  expect(autosave.state.getState().reason).toMatch(/save to a file/i);
});

test('two pages on one table: the older is told, saves no more, and goes on as a copy', async () => {
  const older = await openPage();
  older.store.dispatch(renameSample('by the older'));
  await older.autosave.flush();
  const newer = await openPage((await restoreLatest(db))!);
  expect(newer.autosave.state.getState().takenOver).toBe(true);
  await vi.waitFor(() => expect(older.status()).toBe('displaced'), SAVED_WITHIN);
  expect(older.autosave.state.getState().reason).toMatch(/newer tab.*copy/);

  newer.store.dispatch(renameSample('by the newer'));
  await newer.autosave.flush();
  older.store.dispatch(renameSample('too late'));
  await older.autosave.flush();
  expect(older.status()).toBe('displaced');
  expect((await listTables(db)).map((table) => table.name)).toEqual(['by the newer']);

  await older.autosave.saveAsCopy();
  expect(older.status()).toBe('saved');
  expect((await listRecent(db)).map((table) => table.name).sort()).toEqual(['by the newer', 'too late']);
  newer.store.dispatch(renameSample('still mine'));
  await newer.autosave.flush();
  expect(newer.status()).toBe('saved');
});

/** A second page in a frame: modules, database connection, lock and channel all its own. */
async function openFrame(): Promise<{ store: SampleStore; autosave: Autosave; close(): void }> {
  const frame = document.createElement('iframe');
  const ready = new Promise<{ store: SampleStore; autosave: Autosave }>((resolve, reject) => {
    Object.assign(window, { frameReady: resolve, frameFailed: reject });
  });
  frame.srcdoc = `<script type="module">
    try {
      const { createSampleStore } = await import('/src/document/store/sampleStore.ts');
      const { startAutosave } = await import('/src/io/autosave/autosave.ts');
      const { openAutosaveDb } = await import('/src/io/autosave/autosaveDb.ts');
      const { restoreLatest } = await import('/src/io/autosave/restore.ts');
      const db = await openAutosaveDb('${name}');
      const restored = await restoreLatest(db);
      const store = createSampleStore(restored.sample);
      const autosave = await startAutosave(store, db, restored);
      addEventListener('unload', () => db.close());
      parent.frameReady({ store, autosave });
    } catch (error) {
      parent.frameFailed(error);
    }
  </script>`;
  document.body.append(frame);
  return { ...(await ready), close: () => frame.remove() };
}

test('the same between two real pages', async () => {
  const older = await openPage();
  older.store.dispatch(renameSample('by the older'));
  await older.autosave.flush();
  const frame = await openFrame();
  expect(frame.store.state.getState().sample.name).toBe('by the older');
  expect(frame.autosave.state.getState().takenOver).toBe(true);
  await vi.waitFor(() => expect(older.status()).toBe('displaced'), SAVED_WITHIN);
  frame.store.dispatch(renameSample('by the newer'));
  await frame.autosave.flush();
  older.store.dispatch(renameSample('too late'));
  await older.autosave.flush();
  expect((await listTables(db)).map((table) => table.name)).toEqual(['by the newer']);
  await frame.autosave.stop();
  frame.close();
});

test('a page that missed the message is still refused by the table itself', async () => {
  const older = await openPage();
  older.store.dispatch(renameSample('by the older'));
  await older.autosave.flush();
  const [table] = await listTables(db);
  await db.put('tables', { ...table, writer: 'another page', name: 'theirs' });
  older.store.dispatch(renameSample('overwrite?'));
  await older.autosave.flush();
  expect(older.status()).toBe('displaced');
  expect((await listTables(db))[0].name).toBe('theirs');
});

test('pages on tables of their own do not disturb each other', async () => {
  const one = await openPage();
  const two = await openPage();
  one.store.dispatch(renameSample('one'));
  two.store.dispatch(renameSample('two'));
  await Promise.all([one.autosave.flush(), two.autosave.flush()]);
  expect([one.status(), two.status()]).toEqual(['saved', 'saved']);
  expect(await listRecent(db)).toHaveLength(2);
});

test('opening another sample leaves the one before in the recents, from where it can be taken up again', async () => {
  const { store, autosave } = await openPage();
  store.dispatch(renameSample('breakwater'));
  const first = autosave.state.getState().tableId;
  await autosave.openTable();
  store.dispatch(loadSample({ ...smallSample(), name: 'slipway' }));
  await autosave.flush();
  expect((await listRecent(db)).map((table) => table.name)).toEqual(['slipway', 'breakwater']);
  const back = await restoreTable(db, first);
  expect(back?.sample.name).toBe('breakwater');
});

test('a latest state that cannot be read gives way to the newest older one, and says so', async () => {
  const { store, autosave } = await openPage();
  store.dispatch(renameSample('sound'));
  await autosave.flush();
  const [table] = await listTables(db);
  await putTable(db, { ...table, text: '{"format": "forecloth-sam', savedAt: table.savedAt + 1 });
  const restored = await restoreLatest(db);
  expect(restored?.sample.name).toBe('sound');
  expect(restored?.fellBackBecause?.message).toMatch(/damaged/);
});

test('older states are a minute apart and at most ten; tables at most twelve', async () => {
  const text = '{}';
  const minute = 60_000;
  for (let i = 0; i < 40; i++) {
    await putTable(db, { tableId: 'quay', name: `state ${i}`, text, savedAt: i * (minute / 2), writer: 'w' });
  }
  const earlier = await listEarlier(db, 'quay');
  expect(earlier).toHaveLength(10);
  expect(earlier[0].name).toBe('state 38');
  for (let i = 1; i < earlier.length; i++) {
    expect(earlier[i - 1].savedAt - earlier[i].savedAt).toBeGreaterThanOrEqual(minute);
  }
  for (let i = 0; i < 14; i++) {
    await putTable(db, { tableId: `pier ${i}`, name: `pier ${i}`, text, savedAt: 1e9 + i, writer: 'w' });
  }
  const tables = await listTables(db);
  expect(tables).toHaveLength(12);
  expect(tables[0].tableId).toBe('pier 13');
  expect(await listEarlier(db, 'quay')).toHaveLength(0);
});
