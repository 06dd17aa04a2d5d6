import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { setYarnLeft } from '#document/commands/yarnCommands.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { leftWords } from './leftWords.ts';
import { metresPerLength } from './ownYarnForm.ts';
import { readNumber } from './readNumber.ts';
import { yarnNeeds } from './yarnNeeds.ts';

/** How much of a yarn is on the shelf, and whether it is enough for the sample. */
export function YarnLeftFields({ card }: { readonly card: YarnCard }) {
  const { samples, forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const result = useStore(forecast.state, (state) => state.result);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const [trouble, setTrouble] = useState('');
  const needed = useMemo(() => yarnNeeds(cloth, result)?.get(card.id), [cloth, result, card.id]);
  const told = leftWords(card, needed, system);
  const perMetre = metresPerLength[system];
  const metres = card.left?.metres;

  function note(part: 'grams' | 'metres', text: string) {
    const value = readNumber(text);
    if (value !== undefined && !(value >= 0)) {
      setTrouble(`"${text.trim()}" is not a figure from 0. Write it like 120 or 12.5, or leave it empty.`);
      return;
    }
    const figure =
      value === undefined ? undefined : Number((part === 'metres' ? value * perMetre : value).toPrecision(4));
    if (figure === card.left?.[part]) {
      setTrouble('');
      return;
    }
    const { [part]: _old, ...other } = card.left ?? {};
    const left = figure === undefined ? other : { ...other, [part]: figure };
    const refusal = samples.dispatch(setYarnLeft({ yarn: card.id, left: Object.keys(left).length > 0 ? left : null }));
    setTrouble(refusal?.message ?? '');
  }

  const shown = {
    grams: card.left?.grams,
    metres: metres === undefined ? undefined : Number((metres / perMetre).toPrecision(4)),
  };
  return (
    <div className="yarn-left">
      {(['grams', 'metres'] as const).map((part) => (
        <label key={part}>
          {part === 'grams' ? 'Left on the shelf, g' : system === 'inch' ? 'or in yards' : 'or in metres'}
          <input
            type="text"
            inputMode="decimal"
            key={String(shown[part] ?? '')}
            defaultValue={shown[part] === undefined ? '' : String(shown[part])}
            onBlur={(event) => note(part, event.target.value)}
            onKeyDown={(event) => {
              if (event.key === 'Enter') note(part, event.currentTarget.value);
            }}
          />
        </label>
      ))}
      <p className={told?.short || trouble !== '' ? 'trouble' : 'soft'} role="status">
        {trouble || told?.text}
      </p>
    </div>
  );
}
