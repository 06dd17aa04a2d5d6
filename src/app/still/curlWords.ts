import { type LengthSystem, thinText } from '#app/words/numbers.ts';
import type { CurledStill } from './curledStill.ts';

/** How a cloth is drawn that is let go. */
export function drawnCurlWords({ curl, onLoom }: Pick<CurledStill, 'curl' | 'onLoom'>, system: LengthSystem): string {
  if (onLoom) return 'Drawn flat: on the loom its tension holds it so. Choose off the loom or finished as its state.';
  if (!curl) return 'Drawn flat: both sides pull alike.';
  const from = curl.from === 'picks' ? 'first and last picks' : 'selvedges';
  const radius = thinText(Number(curl.radiusMm.toPrecision(2)), system);
  const degrees = Math.round((curl.turnRad * 180) / Math.PI);
  const far = curl.goesOn
    ? `It rolls on; ${degrees}° of it are drawn.`
    : `Its weight lets the edges turn by about ${degrees}°.`;
  return `Its ${curl.to} up, it may roll from its ${from} to a radius of about ${radius}. ${far} A tendency: sample first.`;
}
