import { distanceText } from '#app/model/distance.ts';
import type { Shown } from '#app/model/panes.ts';
import { sideOf } from '#app/model/pose.ts';
import type { TableState } from '#app/model/tableState.ts';
import { STATE_WORDS } from '#app/words/stateWords.ts';
import { LIGHTS } from '#render/lights.ts';

const shownWords: Readonly<Record<Exclude<Shown, 'one'>, string>> = {
  sides: 'both sides beside each other',
  split: 'split in two, face beside back',
  kept: 'beside kept versions',
};

type Seen = Pick<TableState, 'pose' | 'shown' | 'clothState' | 'heldAtMm' | 'lightnessOnly' | 'preferences'>;

/** Which side is shown, and beside what: "back towards you", "both sides beside each other". */
export function sideWords({ pose, shown }: Pick<Seen, 'pose' | 'shown'>): string {
  if (shown === 'sides' || shown === 'split') return shownWords[shown];
  const side = `${sideOf(pose)} towards you`;
  return shown === 'kept' ? `${side}, ${shownWords.kept}` : side;
}

/** What is to be seen of the cloth of that name, for who does not see it. */
export function clothWords(name: string, seen: Seen): string {
  const { clothState, heldAtMm, lightnessOnly, preferences } = seen;
  const parts = [
    sideWords(seen),
    STATE_WORDS[clothState],
    heldAtMm === null ? 'close up' : `seen from ${distanceText(heldAtMm, preferences.lengthSystem)}`,
    `light: ${LIGHTS[preferences.light].title}`,
    ...(lightnessOnly ? ['lightness only'] : []),
  ];
  return `The cloth, ${name}: ${parts.join(', ')}.`;
}
