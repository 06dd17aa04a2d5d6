import { useState } from 'react';
import { useYarnsAtHand } from '#app/begin/useYarnsAtHand.ts';
import { YarnChoice } from '#app/begin/YarnChoice.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { windTogether } from '#app/model/weaving.ts';
import { Choice } from '#app/table/Choice.tsx';
import { spanInWords } from '#document/commands/command.ts';
import { unwind } from '#document/commands/windCommands.ts';
import type { WeftPass } from '#document/schema/pickSchema.ts';
import type { ByHandProps } from './EdgeFields.tsx';

/** Every weft, as a value beside yarns' ids. */
const EVERY = '';

/** Yarns that lie together in one shed: what is wound together in the picks, one more wound with it, one taken out. */
export function WoundTogether({
  sample,
  picks,
  act,
  onTrouble,
}: ByHandProps & { readonly onTrouble: (words: string) => void }) {
  const { samples, stock } = useTable();
  const atHand = useYarnsAtHand();
  const nameOf = (id: string) => sample.yarns[id]?.name ?? id;
  const passes: readonly WeftPass[] = sample.picks.slice(picks.from - 1, picks.to).flatMap((pick) => pick.passes);
  const bundles = new Map(passes.map(({ strands }) => [strands.join('+'), strands]));
  const wefts = [...new Set(passes.flatMap(({ strands }) => strands))];
  const [wanted, setYarn] = useState<string>();
  const yarn = [wanted, atHand.own.find(({ id }) => !wefts.includes(id))?.id, atHand.own[0].id].find(
    (id) => id !== undefined && atHand.byId.has(id),
  )!;
  const [beside, setBeside] = useState(EVERY);
  const chosen = wefts.includes(beside) ? beside : EVERY;
  const wound = [...bundles.values()].filter(({ length }) => length > 1);
  const strands = [...new Set(wound.flat())];
  return (
    <fieldset className="wound-fields">
      <legend>Wound together</legend>
      {wound.map((bundle) => (
        <p key={bundle.join('+')} className="wound-bundle">
          {bundle.map(nameOf).join(' + ')}
        </p>
      ))}
      <YarnChoice name="Wind" own={atHand.own} stock={atHand.stock} value={yarn} onChoose={setYarn} />
      {bundles.size > 1 && (
        <Choice
          name="with"
          value={chosen}
          options={[[EVERY, 'every weft that runs across'], ...wefts.map((id) => [id, nameOf(id)] as const)]}
          onChoose={setBeside}
        />
      )}
      <div className="laying-buttons">
        <button
          type="button"
          onClick={() =>
            onTrouble(
              windTogether(samples, stock.getState().cards ?? [], {
                picks,
                yarn,
                ...(chosen === EVERY ? {} : { beside: chosen }),
              }),
            )
          }
        >
          {`Wind into ${spanInWords('pick', picks)}`}
        </button>
        {strands.map((id) => (
          <button key={id} type="button" onClick={() => act(unwind({ picks, yarn: id }))}>
            {`Take ${nameOf(id)} out`}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
