import { useEffect, useMemo } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';

/** Yarns that can be woven: those of the sample, and the rest of the stock, which is fetched for it. */
export interface YarnsAtHand {
  readonly own: readonly YarnCard[];
  readonly stock: readonly YarnCard[];
  readonly byId: ReadonlyMap<string, YarnCard>;
}

export function useYarnsAtHand(): YarnsAtHand {
  const table = useTable();
  const yarns = useStore(table.samples.state, (state) => state.sample.yarns);
  const cards = useStore(table.stock, (state) => state.cards);
  useEffect(() => {
    void table.fetchStock();
  }, [table]);
  return useMemo(() => {
    const own = Object.values(yarns);
    const stock = cards?.filter(({ id }) => !Object.hasOwn(yarns, id)) ?? [];
    return { own, stock, byId: new Map([...own, ...stock].map((card) => [card.id, card])) };
  }, [yarns, cards]);
}
