import { type CardPictures, type CardWish, cardDevicePx, cardSideMm } from '#app/model/cardPictures.ts';
import type { Progress } from '#engine/cloth/clothTypes.ts';
import { linearFromHex } from '#engine/colour/colour.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { packWoundCard } from '#engine/packing/woundCard.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { ClothView } from '#render/clothView.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';

/** What packing may take of one slice, ms. */
const packMs = 4;

/** The shelf lies in the room: where the cloth is held to the window, yarns are seen by the room's own light. */
const shelfLight = (light: LightName): LightName => (light === 'behind' ? 'overcast' : light);

interface Packing {
  readonly wish: CardWish;
  readonly sideMm: number;
  readonly steps: Generator<Progress, PackedCloth>;
}

/**
 * Draws the cards that are wished for, one after the other.
 * @returns one slice of work, for when the cloth is settled; it returns false where nothing is left to do for now
 */
export function cardWork(cards: CardPictures, view: ClothView): (light: LightName) => boolean {
  let packing: Packing | undefined;

  function begin(wish: CardWish): Packing | undefined {
    try {
      const sideMm = cardSideMm(yarnBody(yarnFactsOf(wish.yarn)).bodyWidthMm);
      return { wish, sideMm, steps: packWoundCard(wish.yarn, linearFromHex(wish.yarn.coneColour), sideMm) };
    } catch {
      return undefined;
    }
  }

  /** True where the picture has been ordered. */
  function pack({ wish, sideMm, steps }: Packing): boolean {
    const until = performance.now() + packMs;
    let step = steps.next();
    while (!step.done && performance.now() < until) step = steps.next();
    if (!step.done) return false;
    const { light } = LIGHTS[shelfLight(wish.light)];
    view.orderCard({
      cloth: step.value,
      light,
      sidePx: cardDevicePx,
      sideMm,
      onDone: (pixels) => cards.keep(wish, pixels),
    });
    return true;
  }

  return (light) => {
    if (!view.takesCard) return view.stepCard();
    if (!packing) {
      const wish = cards.next(light);
      if (!wish) return false;
      packing = begin(wish);
      if (!packing) cards.refuse(wish);
    }
    try {
      if (packing && pack(packing)) packing = undefined;
    } catch {
      cards.refuse(packing!.wish);
      packing = undefined;
    }
    return true;
  };
}
