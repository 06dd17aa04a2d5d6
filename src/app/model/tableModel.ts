import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { ClothViewApi } from '#render/clothViewTypes.ts';
import type { Forecaster } from './forecast.ts';
import type { TableStore, ThreadRange } from './tableState.ts';

/** How far the sample on the table is from being safe. */
export type SavedState =
  | { readonly kind: 'saved' }
  | { readonly kind: 'saving' }
  | { readonly kind: 'unsaved'; readonly why: string };

/** Everything the page works with. Components read the stores and call these; nothing else changes the sample. */
export interface TableModel {
  readonly samples: SampleStore;
  readonly ui: TableStore;
  readonly forecast: Forecaster;
  /** Samples and yarns that come with the program. */
  readonly ready: readonly Sample[];
  readonly stock: readonly YarnCard[];
  readonly saved: StoreApi<{ readonly state: SavedState }>;
  /** Where the drawn cloth is put by the part that draws it, for scripts to reach. */
  readonly picture: { view: ClothViewApi | undefined };
  keepVersion(): void;
  openFile(): Promise<void>;
  saveFile(): Promise<void>;
  readFile(file: File): Promise<void>;
  /** Weaves rows' picks, or warps ends, with a yarn of the sample or the stock; says so, or says why not. */
  weaveWith(yarnId: string, kind: 'picks' | 'ends', range: ThreadRange, replacing?: string): void;
}

export function createSavedStore(): StoreApi<{ readonly state: SavedState }> {
  return createStore(() => ({ state: { kind: 'saved' } as SavedState }));
}
