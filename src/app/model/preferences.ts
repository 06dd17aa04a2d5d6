import * as v from 'valibot';
import { type DraftConventions, usualConventions } from '#app/draft/conventions.ts';
import type { LengthSystem } from '#app/words/numbers.ts';
import type { Dialect } from '#app/words/words.ts';
import { LIGHT_NAMES, type LightName, RAKING_SIDES, type RakingSide } from '#render/lights.ts';

/** What belongs to the reader and her machine, not to the sample: kept in local storage, never in a file. */
export interface Preferences {
  readonly lengthSystem: LengthSystem;
  readonly dialect: Dialect;
  /** Single-key shortcuts on or off. */
  readonly keysOn: boolean;
  /** The light that cloth is looked at in. */
  readonly light: LightName;
  /** Where the raking lamp stands. */
  readonly rakingFrom: RakingSide;
  /** CSS px to a millimetre of this screen: as CSS has it (96 to the inch) until a card was held to it. */
  readonly pxPerMm: number;
  /** How drafts are drawn. */
  readonly draft: DraftConventions;
}

export const cssPxPerMm = 96 / 25.4;

/** Screens from a wall to a telephone. */
export const leastPxPerMm = 1;
export const mostPxPerMm = 16;

const storageKey = 'forecloth.preferences';

const either = <A extends string, B extends string>(usual: A, other: B) =>
  v.fallback(v.picklist([usual, other]), usual);

const schema = v.object({
  lengthSystem: v.fallback(v.picklist(['cm', 'inch']), 'cm'),
  dialect: v.fallback(v.picklist(['uk', 'us']), 'uk'),
  keysOn: v.fallback(v.boolean(), true),
  light: v.fallback(v.picklist(LIGHT_NAMES), 'window'),
  rakingFrom: v.fallback(v.picklist(RAKING_SIDES), 'left'),
  pxPerMm: v.fallback(v.pipe(v.number(), v.minValue(leastPxPerMm), v.maxValue(mostPxPerMm)), cssPxPerMm),
  draft: v.fallback(
    v.object({
      shaftOne: either('below', 'above'),
      endOne: either('left', 'right'),
      firstPick: either('below', 'above'),
      filled: either('rises', 'sinks'),
      side: either('face', 'back'),
    }),
    usualConventions,
  ),
});

const defaultPreferences: Preferences = {
  lengthSystem: 'cm',
  dialect: 'uk',
  keysOn: true,
  light: 'window',
  rakingFrom: 'left',
  pxPerMm: cssPxPerMm,
  draft: usualConventions,
};

/** Falls back to the defaults where storage is shut (private windows) or holds something else. */
export function loadPreferences(): Preferences {
  try {
    const stored = localStorage.getItem(storageKey);
    return stored === null ? defaultPreferences : v.parse(schema, JSON.parse(stored));
  } catch {
    return defaultPreferences;
  }
}

export function savePreferences(preferences: Preferences): void {
  try {
    localStorage.setItem(storageKey, JSON.stringify(preferences));
  } catch {
    // Storage may be shut or full; the preference then lasts for this visit.
  }
}
