import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { linearFromHex } from '#engine/colour/colour.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { bloomedHair } from '#engine/yarn/bloomedHair.ts';
import { brushedHair } from '#engine/yarn/brushed.ts';
import { hairOfStrands, sumOfHair } from '#engine/yarn/bundleHair.ts';
import { type YarnHair, yarnHair } from '#engine/yarn/hair.ts';
import { overdyed } from '#engine/yarn/overdye.ts';
import type { Treatment, TreatmentOf } from './schema/afterLoomSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';
import type { ClothMaterial } from './toClothProblem.ts';

/** Yarns lying together in a thread, as they are after the loom. */
export interface TreatedMaterial {
  /** Their cards, dyed. */
  readonly strands: readonly YarnCard[];
  /** What stands off the thread, raised. */
  readonly hair: YarnHair | undefined;
}

/**
 * What dyebath and brush make of each of the cloth's yarns, in the order of the treatments.
 * A brush reaches a yarn by the share of its crossings that lie on the side brushed; hair is then told for all of the yarn, and how
 * much more of it stands towards that side.
 * @param bloom how far a wash brings hair up, 0..1, of fibres that felt
 */
export function treatedYarns(
  problem: ClothProblem,
  materials: readonly ClothMaterial[],
  treatments: readonly Treatment[] = [],
  bloom = 0,
): TreatedMaterial[] {
  const brushed = treatments.some(({ kind }) => kind === 'brush');
  const onFace = brushed ? shareOnFace(problem) : new Float64Array(materials.length);
  return materials.map(({ strands, body }, index) => {
    const cards = strands.map((card) => dyedCard(card, treatments));
    const washed = body.finishing?.felts ? bloom : 0;
    if (!brushed) return { strands: cards, hair: bloomedHair(hairOfStrands(strands), { washed }) };
    let hairs = strands.map((card) => bloomedHair(yarnHair(card), { washed }));
    for (const treatment of treatments) {
      if (treatment.kind !== 'brush') continue;
      const { side, strength } = treatment;
      const reach = { face: side === 'back' ? 0 : onFace[index], back: side === 'face' ? 0 : 1 - onFace[index] };
      hairs = strands.map((card, k) => brushedHair(card, hairs[k], strength, reach));
    }
    return { strands: cards, hair: sumOfHair(hairs) };
  });
}

/** A yarn's card after the dyebaths of the treatments. */
export function dyedCard(card: YarnCard, treatments: readonly Treatment[] = []): YarnCard {
  return treatments.reduce(
    (dyed, treatment) => (treatment.kind === 'overdye' ? overdyed(dyed, bathOf(treatment)) : dyed),
    card,
  );
}

function bathOf({ dye, colour, depth }: TreatmentOf<'overdye'>) {
  return { dye, colour: linearFromHex(colour), depth };
}

/** Of each yarn's crossings, the share at which it lies uppermost on the face; 0.5 of a yarn that crosses none. */
export function shareOnFace({
  rows,
  drawdown,
  yarns,
  endYarn,
  rowYarn,
  rowFirst,
  rowLast,
}: ClothProblem): Float64Array {
  const crossings = new Float64Array(yarns.length);
  const up = new Float64Array(yarns.length);
  for (let row = 0; row < rows; row++) {
    for (let end = rowFirst[row]; end <= rowLast[row]; end++) {
      const warpUp = isWarpUp(drawdown, row, end) ? 1 : 0;
      crossings[endYarn[end]]++;
      crossings[rowYarn[row]]++;
      up[endYarn[end]] += warpUp;
      up[rowYarn[row]] += 1 - warpUp;
    }
  }
  return up.map((count, yarn) => (crossings[yarn] > 0 ? count / crossings[yarn] : 0.5));
}
