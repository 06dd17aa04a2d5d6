import type { SampleStore } from '#document/store/sampleStore.ts';
import type { TableState, TableStore } from './tableState.ts';

/** What a message may speak of; once that changes, it is no longer true. */
export type NoticeSubject = 'sample' | 'light' | 'distance' | 'scale' | 'selection' | 'lens';

/** How long a message stands. */
export interface NoticeTerm {
  /** It goes as soon as one of these changes. */
  readonly goesWith: readonly NoticeSubject[];
  /** Until it is closed or no longer true: trouble that something has to be done about. */
  readonly stays: boolean;
}

/** Most messages tell what was done to the sample, or why it was not. */
export const usualTerm: NoticeTerm = { goesWith: ['sample'], stays: false };

const firstMs = 5000;
/** Silent reading goes at about 200 words, or 1000 characters, a minute (common practice). */
const msPerCharacter = 60;

/** Long enough to be noticed and read, ms. */
export function noticeMs(notice: string): number {
  return firstMs + msPerCharacter * notice.length;
}

const seen: Readonly<Record<Exclude<NoticeSubject, 'sample'>, (state: TableState) => unknown>> = {
  light: ({ preferences: { light, rakingFrom } }) => `${light} ${rakingFrom}`,
  distance: ({ heldAtMm }) => heldAtMm,
  scale: ({ pose }) => pose.mmPerPx,
  selection: ({ selection }) => selection,
  lens: ({ lensAt }) => lensAt !== undefined,
};

/** Takes a message away once what it says holds no longer. Returns what stops that. */
export function keepNoticesTrue(samples: SampleStore, ui: TableStore): () => void {
  const stopUi = ui.subscribe((now, before) => {
    // Said with this change, it is about what is now.
    if (now.notice === '' || now.noticeTerm !== before.noticeTerm) return;
    const over = now.noticeTerm.goesWith.some(
      (subject) => subject !== 'sample' && seen[subject](now) !== seen[subject](before),
    );
    if (over) now.say('');
  });
  const stopSamples = samples.state.subscribe(({ sample }, before) => {
    const { notice, noticeTerm, say } = ui.getState();
    if (sample !== before.sample && notice !== '' && noticeTerm.goesWith.includes('sample')) say('');
  });
  return () => {
    stopUi();
    stopSamples();
  };
}
