import { formatNumber } from '#app/words/numbers.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';

/** "16 shafts, direct lift: no tie-up". */
export function loomWords(loom: LoomCard): string {
  const shafts = `${formatNumber(loom.shafts)} shafts`;
  if (loom.control.kind === 'directLift') return `${shafts}, direct lift: no tie-up`;
  const { treadles, action } = loom.control;
  return `${shafts}, ${formatNumber(treadles)} treadles, ${action} shed`;
}
