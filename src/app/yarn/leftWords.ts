import { formatNumber, type LengthSystem } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { enoughLeft, type YarnNeeded } from '#document/yarnNeeded.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';
import { metresPerLength } from './ownYarnForm.ts';

export interface LeftWords {
  readonly text: string;
  /** There may not be enough. */
  readonly short: boolean;
}

function lengthWords(metres: number, system: LengthSystem): string {
  const value = metres / metresPerLength[system];
  return `${formatNumber(value, value < 10 ? 1 : 0)} ${system === 'inch' ? 'yd' : 'm'}`;
}

/** For a yarn's card: "about 120 m left". Undefined where that is not known. */
export function leftOnCard(card: YarnCard, system: LengthSystem): string | undefined {
  const left = metresLeft(card);
  return left && `${left.low === left.high ? '' : '≈ '}${lengthWords(left.value, system)} left`;
}

/** What is left and what the sample takes of it, in a sentence or two. */
export function leftWords(card: YarnCard, needed: YarnNeeded | undefined, system: LengthSystem): LeftWords | undefined {
  const left = metresLeft(card);
  const takes =
    needed &&
    `This sample takes about ${lengthWords(needed.metres.value, system)} of it${needed.inWarp ? ', loom waste apart' : ''}.`;
  if (!left) return takes ? { text: takes, short: false } : undefined;
  const first = `${left.low === left.high ? '' : 'About '}${lengthWords(left.value, system)} left.`;
  if (!takes || !needed) return { text: first, short: false };
  const enough = enoughLeft(left, needed.metres);
  const end = {
    enough: 'That is enough.',
    perhaps: 'That may not be enough: weigh what is left, or have more at hand.',
    short: `That is too little by about ${lengthWords(needed.metres.value - left.value, system)}.`,
  }[enough];
  return { text: `${first} ${takes} ${end}`, short: enough !== 'enough' };
}
