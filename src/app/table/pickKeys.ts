import { insertNext, insertSameLift, repeatPicks, unweavePicks } from '#app/model/pickActions.ts';
import type { TableModel } from '#app/model/tableModel.ts';

/** What is done to picks by hand; the menu on the picks and the keys in their ribbon come from the same place. */
export type PickDeed = 'next' | 'same' | 'repeat' | 'lift' | 'laying' | 'wind' | 'unweave';

export const pickDeeds: Record<PickDeed, (table: TableModel) => void> = {
  next: insertNext,
  same: insertSameLift,
  repeat: repeatPicks,
  lift: ({ ui }) => ui.getState().showLift(true),
  laying: ({ ui }) => ui.getState().showLaying(true),
  wind: ({ ui }) => ui.getState().showLaying(true, undefined, 'wound'),
  unweave: unweavePicks,
};

/** What a key does while the picks have the focus; undefined where it is not one of these. */
export function pickDeedOf(event: {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly altKey: boolean;
}): PickDeed | undefined {
  if (event.altKey) return undefined;
  const key = event.key.toLowerCase();
  if (event.ctrlKey || event.metaKey) return key === 'd' ? 'repeat' : undefined;
  const deeds: Record<string, PickDeed> = {
    n: 'next',
    s: 'same',
    l: 'lift',
    w: 'laying',
    g: 'wind',
    delete: 'unweave',
    backspace: 'unweave',
  };
  return Object.hasOwn(deeds, key) ? deeds[key] : undefined;
}
