import { createStore, type StoreApi } from 'zustand/vanilla';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { woundCardScale } from '#engine/packing/woundCardScale.ts';
import type { LightName } from '#render/lights.ts';
import { cssPxPerMm } from './preferences.ts';

/** Side of a wound card on the shelf, CSS px, and as drawn: two device pixels to each, as fine screens have. */
export const cardPx = 56;
export const cardDevicePx = 2 * cardPx;
/** Cards held: the whole stock and a sample's yarns in one light; 6 MB. */
const mostHeld = 128;

/** RGBA, top row first, `cardDevicePx` a side. */
export type CardPixels = Uint8ClampedArray<ArrayBuffer>;

export interface CardWish {
  readonly yarn: YarnCard;
  readonly light: LightName;
}

/** Pictures of yarns as wound cards. Those in sight are asked for; whoever draws takes the wishes one by one. */
export interface CardPictures {
  /** Changes with each picture kept and each wish. */
  readonly state: StoreApi<{ readonly kept: number; readonly asked: number }>;
  /** Asks for a yarn's picture while it is in sight; returns what ends that. */
  ask(yarn: YarnCard): () => void;
  /** The picture in this light or, until it is drawn, the last in another; undefined until there is any. */
  pictureOf(yarn: YarnCard, light: LightName): CardPixels | undefined;
  /** What is asked for and not drawn yet, other than what is being drawn. */
  next(light: LightName, underWay?: CardWish): CardWish | undefined;
  keep(wish: CardWish, pixels: CardPixels): void;
  /** This yarn cannot be drawn: it is not wished for again. */
  refuse(wish: CardWish): void;
}

/** How many times life size the card of a yarn is, whose turns are so wide. */
export function cardScale(turnMm: number): number {
  return woundCardScale(turnMm, cardPx / cssPxPerMm);
}

/** What a card shows, mm of yarn. */
export function cardSideMm(turnMm: number): number {
  return cardPx / cssPxPerMm / cardScale(turnMm);
}

/** How a card's scale is said. */
export function cardScaleWords(turnMm: number): string {
  const scale = cardScale(turnMm);
  if (scale === 2) return 'twice life size';
  if (scale === 1) return 'life size';
  return scale === 0.5 ? 'half life size' : `1/${1 / scale} of life size`;
}

/** Everything of a yarn that can be seen. */
function looksOf({ id, name, count, cautions, provenance, sources, ranges, left, ...seen }: YarnCard): string {
  return JSON.stringify(seen);
}

export function createCardPictures(): CardPictures {
  const state = createStore(() => ({ kept: 0, asked: 0 }));
  /** By looks and light, the longest unused first. */
  const held = new Map<string, CardPixels>();
  /** By looks alone: the key of the last one kept. */
  const lastOf = new Map<string, string>();
  const refused = new Set<string>();
  const asked = new Map<string, { readonly yarn: YarnCard; count: number }>();
  const keyOf = (looks: string, light: LightName) => `${light} ${looks}`;

  function use(key: string): CardPixels | undefined {
    const pixels = held.get(key);
    if (!pixels) return undefined;
    held.delete(key);
    held.set(key, pixels);
    return pixels;
  }

  return {
    state,
    ask(yarn) {
      const looks = looksOf(yarn);
      const entry = asked.get(looks) ?? { yarn, count: 0 };
      entry.count++;
      asked.set(looks, entry);
      state.setState((old) => ({ asked: old.asked + 1 }));
      return () => {
        entry.count--;
        if (entry.count === 0) asked.delete(looks);
      };
    },
    pictureOf(yarn, light) {
      const looks = looksOf(yarn);
      const last = lastOf.get(looks);
      return use(keyOf(looks, light)) ?? (last === undefined ? undefined : use(last));
    },
    next(light, underWay) {
      const beingDrawn = underWay && keyOf(looksOf(underWay.yarn), underWay.light);
      for (const [looks, { yarn }] of asked) {
        if (keyOf(looks, light) === beingDrawn) continue;
        if (!refused.has(looks) && !held.has(keyOf(looks, light))) return { yarn, light };
      }
      return undefined;
    },
    keep({ yarn, light }, pixels) {
      const looks = looksOf(yarn);
      held.set(keyOf(looks, light), pixels);
      lastOf.set(looks, keyOf(looks, light));
      for (const key of held.keys()) {
        if (held.size <= mostHeld) break;
        held.delete(key);
      }
      for (const [each, key] of lastOf) if (!held.has(key)) lastOf.delete(each);
      state.setState((old) => ({ kept: old.kept + 1 }));
    },
    refuse({ yarn }) {
      refused.add(looksOf(yarn));
    },
  };
}
