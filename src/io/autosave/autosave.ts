import { createStore, type StoreApi } from 'zustand/vanilla';
import { sampleToFile } from '#document/sampleFromFile.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import { type AutosaveDb, claimTable, dropEarlier, putTable } from './autosaveDb.ts';
import { type Restored, restoreNamed } from './restore.ts';
import { type TableClaim, takeTable } from './tableClaim.ts';

/**
 * Saves the sample to this browser after every command, within half a second, and says so.
 *
 *   const db = await openAutosaveDb();
 *   const restored = await restoreLatest(db);                    // null on a first visit
 *   const store = createSampleStore(restored?.sample ?? preset);
 *   const autosave = await startAutosave(store, db, restored ?? undefined);
 *   useStore(autosave.state, ({ status }) => status);
 *
 * Opening another sample: `await autosave.openTable()` first, so that the one on the table stays in the recents, then
 * `store.dispatch(loadSample(sample))`.
 */
export interface AutosaveState {
  /**
   * saved: nothing is waiting. saving: a change is on its way. failed: `reason` says why; the next change tries again.
   * displaced: another page has this table open and saves it; this one no longer does, until `saveAsCopy`.
   */
  readonly status: 'saved' | 'saving' | 'failed' | 'displaced';
  readonly savedAt: number | null;
  /** For people, with what to do; null unless failed or displaced. */
  readonly reason: string | null;
  readonly tableId: string;
  /** Whether this page took the table from another that still has it open. */
  readonly takenOver: boolean;
}

export interface Autosave {
  readonly state: StoreApi<AutosaveState>;
  /** Saves at once what is waiting; resolves when it is saved or has failed. */
  flush(): Promise<void>;
  /** Goes on as a table of its own, or as the one given, with what is on the table; the table left keeps its last save. */
  saveAsCopy(tableId?: string): Promise<void>;
  /** Saves what is waiting, then goes on in another table: the one given, or a new one. */
  openTable(tableId?: string): Promise<void>;
  /** The sample of this name as it was last left; null where this browser keeps none. */
  recall(name: string): Promise<Restored | null>;
  stop(): Promise<void>;
}

/** Time from the first unsaved change to its save, ms; with the save itself well under half a second. */
const SAVE_DELAY_MS = 300;

const displacedReason =
  'This sample is open in a newer tab, which now saves it. Go on there, or save this one as a copy.';

function reasonOf(error: unknown): string {
  if (error instanceof DOMException && error.name === 'QuotaExceededError') {
    return 'This browser has no room left. The last save is kept; save to a file, or free some room.';
  }
  const detail = error instanceof Error ? ` (${error.message})` : '';
  return `This browser could not save${detail}. The last save is kept; save to a file.`;
}

const noStorageReason = 'This browser keeps nothing for this page. Save to a file before you leave.';

/** @param db null where the browser keeps nothing: every change is then reported as failed. */
export async function startAutosave(
  store: SampleStore,
  db: AutosaveDb | null,
  restored?: { readonly tableId: string; readonly savedAt: number },
): Promise<Autosave> {
  const writer = crypto.randomUUID();
  const state = createStore<AutosaveState>(() => ({
    status: 'saved',
    savedAt: restored?.savedAt ?? null,
    reason: null,
    tableId: restored?.tableId ?? crypto.randomUUID(),
    takenOver: false,
  }));
  /** What the table holds; null where that is nothing of this sample. */
  let saved: Sample | null = store.state.getState().sample;
  let timer: ReturnType<typeof setTimeout> | null = null;
  let claim: TableClaim | null = null;
  let queue: Promise<void> = Promise.resolve();

  const displaced = () => state.setState({ status: 'displaced', reason: displacedReason });

  async function claimNow(tableId: string): Promise<void> {
    claim?.release();
    claim = null;
    state.setState({ tableId, takenOver: false });
    if (!db) return;
    claim = await takeTable(tableId, writer, displaced);
    await claimTable(db, tableId, writer);
    state.setState({ takenOver: claim.takenOver });
  }

  async function save(): Promise<void> {
    const { sample } = store.state.getState();
    const { status, tableId } = state.getState();
    if (sample === saved || status === 'displaced') return;
    if (!db) {
      state.setState({ status: 'failed', reason: noStorageReason });
      return;
    }
    try {
      const savedAt = Date.now();
      const record = { tableId, name: sample.name, text: JSON.stringify(sampleToFile(sample)), savedAt, writer };
      if (!(await putOrMakeRoom(db, record))) {
        displaced();
        return;
      }
      saved = sample;
      if (state.getState().status === 'displaced') return;
      const waiting = store.state.getState().sample !== sample;
      state.setState({ status: waiting ? 'saving' : 'saved', savedAt, reason: null });
      if (waiting) schedule();
    } catch (error) {
      if (state.getState().status !== 'displaced') state.setState({ status: 'failed', reason: reasonOf(error) });
    }
  }

  function schedule(): void {
    timer ??= setTimeout(() => {
      timer = null;
      queue = queue.then(save);
    }, SAVE_DELAY_MS);
  }

  function flush(): Promise<void> {
    if (timer !== null) clearTimeout(timer);
    timer = null;
    queue = queue.then(save);
    return queue;
  }

  const unsubscribe = store.state.subscribe(({ sample, gesture }) => {
    // A gesture is saved when it is committed: what is dragged through is nobody's wish.
    if (sample === saved || gesture !== null || state.getState().status === 'displaced') return;
    if (state.getState().status !== 'saving') state.setState({ status: 'saving', reason: null });
    schedule();
  });
  const leave = () => {
    if (document.visibilityState === 'hidden') void flush();
  };
  document.addEventListener('visibilitychange', leave);
  window.addEventListener('pagehide', flush);

  await claimNow(state.getState().tableId);
  return {
    state,
    flush,
    async openTable(tableId = crypto.randomUUID()) {
      await flush();
      await claimNow(tableId);
      if (state.getState().status === 'displaced') state.setState({ status: 'saved', reason: null });
    },
    async recall(name) {
      try {
        return db ? await restoreNamed(db, name) : null;
      } catch {
        return null; // A store that cannot be read cannot be written either, and the next change says so.
      }
    },
    async saveAsCopy(tableId = crypto.randomUUID()) {
      await claimNow(tableId);
      saved = null;
      state.setState({ status: 'saving', reason: null });
      await flush();
    },
    async stop() {
      unsubscribe();
      document.removeEventListener('visibilitychange', leave);
      window.removeEventListener('pagehide', flush);
      await flush();
      claim?.release();
    },
  };
}

/** As `putTable`; where there is no room, older states are given up and it is tried once more. */
async function putOrMakeRoom(db: AutosaveDb, record: Parameters<typeof putTable>[1]): Promise<boolean> {
  try {
    return await putTable(db, record);
  } catch (error) {
    if (!(error instanceof DOMException) || error.name !== 'QuotaExceededError') throw error;
    await dropEarlier(db);
    return putTable(db, record);
  }
}
