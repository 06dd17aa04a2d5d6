import { type CardPictures, type CardWish, cardDevicePx, cardSideMm } from '#app/model/cardPictures.ts';
import type { Progress } from '#engine/cloth/clothTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { packWoundCard } from '#engine/packing/woundCard.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { ClothView } from '#render/clothView.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';

/** What packing may take of one slice, ms: less than a frame, with time left for the hand. */
const packMs = 10;

/** The shelf lies in the room: where the cloth is held to the window, yarns are seen by the room's own light. */
const shelfLight = (light: LightName): LightName => (light === 'behind' ? 'overcast' : light);

interface Packing {
  readonly wish: CardWish;
  readonly sideMm: number;
  readonly steps: Generator<Progress, PackedCloth>;
  /** Once done. */
  cloth?: PackedCloth;
}

/**
 * Draws the cards that are wished for, one after the other; the next is packed while the GPU draws.
 * @returns one slice of work, for when the cloth is settled; it returns false where nothing is left to do for now
 */
export function cardWork(cards: CardPictures, view: ClothView): (light: LightName) => boolean {
  let packing: Packing | undefined;
  let ordered: CardWish | undefined;

  function begin(wish: CardWish): Packing {
    const sideMm = cardSideMm(yarnBody(yarnFactsOf(wish.yarn)).bodyWidthMm);
    return { wish, sideMm, steps: packWoundCard(wish.yarn, sideMm) };
  }

  /** One slice of packing; false where there is nothing to pack. */
  function pack(light: LightName): boolean {
    const wish = packing?.wish ?? cards.next(light, ordered);
    if (!wish || packing?.cloth) return false;
    try {
      packing ??= begin(wish);
      const until = performance.now() + packMs;
      let step = packing.steps.next();
      while (!step.done && performance.now() < until) step = packing.steps.next();
      if (step.done) packing.cloth = step.value;
    } catch {
      // Its facts cannot be a yarn: plain colour stays.
      cards.refuse(wish);
      packing = undefined;
    }
    return true;
  }

  function order({ wish, sideMm, cloth }: Packing & { readonly cloth: PackedCloth }): void {
    ordered = wish;
    view.orderCard({
      cloth,
      light: LIGHTS[shelfLight(wish.light)].light,
      sidePx: cardDevicePx,
      sideMm,
      onDone: (pixels) => {
        ordered = undefined;
        cards.keep(wish, pixels);
      },
    });
  }

  return (light) => {
    if (packing?.cloth && view.takesCard) {
      order({ ...packing, cloth: packing.cloth });
      packing = undefined;
    }
    const drawing = view.stepCard();
    return pack(light) || drawing;
  };
}
