import type { StoreApi } from 'zustand/vanilla';
import type { PictureWork } from '#app/picture/pictureWork.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { Autosave } from '#io/autosave/autosave.ts';
import type { ClothViewApi } from '#render/clothViewTypes.ts';
import type { CardPictures } from './cardPictures.ts';
import type { Forecaster } from './forecast.ts';
import type { KeptStore } from './keptForecasts.ts';
import type { TableStore, ThreadRange } from './tableState.ts';

export interface ReadySample {
  readonly id: string;
  readonly name: string;
}

/** Everything the page works with. Components read the stores and call these; nothing else changes the sample. */
export interface TableModel {
  readonly samples: SampleStore;
  readonly ui: TableStore;
  readonly forecast: Forecaster;
  /** The versions drawn beside the sample. */
  readonly kept: KeptStore;
  /** Samples that come with the program. */
  readonly ready: readonly ReadySample[];
  /** Yarns that come with the program; fetched when first asked for. */
  readonly stock: StoreApi<{ readonly cards: readonly YarnCard[] | undefined }>;
  readonly autosave: Autosave;
  /** Yarns as wound cards, drawn while the cloth rests. */
  readonly cards: CardPictures;
  /** Pictures drawn to be saved. */
  readonly pictures: PictureWork;
  /** Where the drawn cloth is put by the part that draws it, for scripts to reach. */
  readonly picture: { view: ClothViewApi | undefined };
  fetchStock(): Promise<void>;
  /** Puts a ready sample on the table, as it was left where it was worked on; undo brings back what was there. */
  takeReady(id: string): Promise<void>;
  /** Puts a ready sample on the table as it comes with the program, in place of what was made of it. */
  takeAfresh(id: string): Promise<void>;
  /** Puts a sample that was begun from nothing on the table, under a name that no other has. */
  layNew(sample: Sample): Promise<void>;
  keepVersion(): void;
  openFile(): Promise<void>;
  saveFile(): Promise<void>;
  /** Downloads the draft in the open interchange format. */
  saveDraft(): void;
  /** Downloads the drawdown as a picture of one pixel a crossing. */
  saveDrawdown(): void;
  readFile(file: File): Promise<void>;
  /** Weaves rows' picks, or warps ends, with a yarn of the sample or the stock; says so, or says why not. */
  weaveWith(yarnId: string, kind: 'picks' | 'ends', range: ThreadRange, replacing?: string): void;
}
