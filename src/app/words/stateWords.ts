import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { TREATMENTS, type Treatment } from '#engine/cloth/states/treatments.ts';

export const STATE_WORDS: Readonly<Record<ClothState, string>> = {
  onLoom: 'on the loom',
  offLoom: 'off the loom',
  finished: 'finished',
};

const FINISH_WORDS: Readonly<Record<Treatment, string>> = {
  none: 'none',
  steamed: 'steamed',
  pressed: 'pressed',
  soaked: 'soaked',
  handWashed: 'washed by hand',
  machineWashed: 'washed by machine',
  tumbled: 'washed and tumbled',
  fulled: 'fulled',
  brushed: 'brushed',
};

export const STATES: readonly (readonly [ClothState, string])[] = Object.entries(STATE_WORDS) as [ClothState, string][];
export const FINISHES: readonly (readonly [Treatment, string])[] = TREATMENTS.map((each) => [each, FINISH_WORDS[each]]);

/** What may go wrong in a finish; the label on the yarn decides. */
export function finishCaution(treatment: Treatment): string | undefined {
  if (treatment === 'steamed' || treatment === 'pressed') {
    return 'Heat melts film, net and elastic and takes the set out of synthetics: try a scrap, iron through a cloth.';
  }
  if (treatment === 'fulled' || treatment === 'tumbled') {
    return 'Wire and sharp ends do not belong in a machine: finish such pieces by hand.';
  }
  return undefined;
}
