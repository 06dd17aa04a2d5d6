import { type LinearRgb, labFromLinear, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { Turn } from '#engine/packing/far/turnColour.ts';
import type { SampleCloth } from './sampleCloth.ts';

/** A colour that the cone has and the cloth, seen as a whole, has not. */
export interface Greyed {
  /** Of the cloth's mean, CIE L* and C*ab. */
  readonly lightness: number;
  readonly chroma: number;
  /** The most vivid of the yarns that make up much of it: its number in the cloth, and C*ab of its cone. */
  readonly yarn: number;
  readonly yarnChroma: number;
}

/** C*ab below which a colour passes for a grey beside other colours; more where it is dark (rules of thumb, from memory). */
const NEAR_GREY = 8;
const NEAR_GREY_DARK = 12;
const DARK = 30;
/** C*ab from which a cone is plainly coloured. */
const COLOURED = 15;
/** How many times more vivid the cone is: less is hardly noticed as a loss. */
const LEAST_LOSS = 1.5;
/** A yarn that makes up less of the cloth is an accent: nobody expects the whole to have its colour. */
const LEAST_SHARE = 0.15;

/**
 * Whether a coloured yarn weaves to near grey: the mean of what one side shows square on, in linear light, has hardly any
 * chroma left, and much less than the yarn. Undefined where it has, or where no yarn is coloured.
 * @param turns of that side
 */
export function greyed(cloth: SampleCloth, turns: readonly Turn[]): Greyed | undefined {
  const square = turns[0]?.steps.find(({ degrees }) => degrees === 0);
  if (!square) return undefined;
  const [lightness, a, b] = labFromLinear(square.colour);
  const chroma = Math.hypot(a, b);
  if (chroma >= (lightness < DARK ? NEAR_GREY_DARK : NEAR_GREY)) return undefined;
  const shares = yarnShares(cloth);
  let most: Greyed | undefined;
  cloth.coloursOf.forEach((hexes, yarn) => {
    if (shares[yarn] < LEAST_SHARE) return;
    const yarnChroma = chromaOf(meanLinear(hexes.map(linearFromHex)));
    if (yarnChroma < COLOURED || yarnChroma < LEAST_LOSS * chroma || yarnChroma < (most?.yarnChroma ?? 0)) return;
    most = { lightness, chroma, yarn, yarnChroma };
  });
  return most;
}

function chromaOf(colour: LinearRgb): number {
  const [, a, b] = labFromLinear(colour);
  return Math.hypot(a, b);
}

/** Of all threads by the width they cover, 0..1 a yarn. */
function yarnShares({ problem, widthMmOf }: SampleCloth): Float64Array {
  const shares = new Float64Array(widthMmOf.length);
  const { endYarn, rowYarn } = problem;
  for (const yarnOf of [endYarn, rowYarn]) {
    let all = 0;
    for (let k = 0; k < yarnOf.length; k++) all += widthMmOf[yarnOf[k]];
    // Warp and weft count alike: how much of each shows is the draft's affair.
    for (let k = 0; k < yarnOf.length; k++) shares[yarnOf[k]] += widthMmOf[yarnOf[k]] / (2 * all);
  }
  return shares;
}

/** What such a colour is called. */
export function greyName(lightness: number): string {
  if (lightness < 20) return 'black';
  if (lightness < 38) return 'charcoal';
  return lightness < 75 ? 'grey' : 'pale grey';
}
