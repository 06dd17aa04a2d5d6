import { useStore } from 'zustand';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { type Span, spanInWords } from '#document/commands/command.ts';

/** Picks that can be woven in one go: those selected, where they are not all, and all of them, last. */
export function useWeaveTargets(): readonly Span[] {
  const table = useTable();
  const count = useStore(table.samples.state, (state) => state.sample.picks.length);
  const selection = useTableState((state) => state.selection);
  const all = { from: 1, to: count };
  if (selection?.kind !== 'picks') return [all];
  const some = pickTarget(table);
  return some.from === 1 && some.to === count ? [all] : [some, all];
}

/** "all 96 picks", "picks 12–14". */
export function targetWords(target: Span, count: number): string {
  if (target.from === 1 && target.to === count) return `all ${formatNumber(count)} picks`;
  return spanInWords('pick', target);
}
