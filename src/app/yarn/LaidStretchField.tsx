import { NumberField } from '#app/after/NumberField.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { setLaidStretch } from '#document/commands/yarnCommands.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { usualLaidStretch } from '#engine/yarn/finishing.ts';

/** How far an elastic yarn is pulled out as it is laid in; nothing of one that gives too little to ask. */
export function LaidStretchField({ card }: { readonly card: YarnCard }) {
  const { samples, ui } = useTable();
  const usual = 100 * usualLaidStretch(card.fibre);
  if (usual === 0 && card.laidStretchPercent === undefined) return null;
  return (
    <NumberField
      name="Laid in stretched by"
      value={card.laidStretchPercent}
      least={0}
      most={400}
      step={5}
      unit="%"
      empty={String(usual)}
      onChange={(percent) => {
        const refusal = samples.dispatch(setLaidStretch({ yarn: card.id, percent: percent ?? null }));
        if (refusal) ui.getState().say(refusal.message);
      }}
    />
  );
}
