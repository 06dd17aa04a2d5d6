import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { linearFromHex } from '#engine/colour/colour.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { brushedHair } from '#engine/yarn/brushed.ts';
import { hairOfStrands, type YarnHair, yarnHair } from '#engine/yarn/hair.ts';
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
 * A brush reaches a yarn by the share of its crossings that lie on the side brushed; hair is then told for the yarn as a whole.
 */
export function treatedYarns(
  problem: ClothProblem,
  materials: readonly ClothMaterial[],
  treatments: readonly Treatment[] = [],
): TreatedMaterial[] {
  const brushed = treatments.some(({ kind }) => kind === 'brush');
  const onFace = brushed ? shareOnFace(problem) : new Float64Array(materials.length);
  return materials.map(({ strands }, index) => {
    let cards: YarnCard[] = [...strands];
    let hairs = cards.map(yarnHair);
    for (const treatment of treatments) {
      if (treatment.kind === 'overdye') cards = cards.map((card) => overdyed(card, bathOf(treatment)));
      else if (treatment.kind === 'brush') {
        const { side, strength } = treatment;
        const reach = side === 'both' ? 1 : side === 'face' ? onFace[index] : 1 - onFace[index];
        hairs = cards.map((card, k) => brushedHair(card, hairs[k], strength, reach));
      }
    }
    return { strands: cards, hair: brushed ? hairiest(hairs) : hairOfStrands(strands) };
  });
}

export function bathOf({ dye, colour, depth }: TreatmentOf<'overdye'>) {
  return { dye, colour: linearFromHex(colour), depth };
}

/** By length of hair to the mm of thread. */
function hairiest(hairs: readonly (YarnHair | undefined)[]): YarnHair | undefined {
  const lengthOf = (hair: YarnHair | undefined) => (hair ? hair.perMm * hair.meanLengthMm : 0);
  return hairs.reduce((most, hair) => (lengthOf(hair) > lengthOf(most) ? hair : most), undefined);
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
