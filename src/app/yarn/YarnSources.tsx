import { useTableState } from '#app/model/tableContext.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { careLines } from './careWords.ts';
import { sourceRows } from './sourceRows.ts';

/** A yarn's line of care. */
export function YarnCare({ card }: { readonly card: YarnCard }) {
  const lines = careLines(card);
  if (lines.length === 0) return null;
  return (
    <div className="yarn-care" role="note" aria-label="Care">
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </div>
  );
}

/** Where each of a yarn's figures comes from, measured ones first told as such; guesses look like guesses. */
export function YarnSources({ card }: { readonly card: YarnCard }) {
  const dialect = useTableState((state) => state.preferences.dialect);
  return (
    <details className="yarn-sources">
      <summary>Where its figures come from</summary>
      <dl>
        {sourceRows(card, dialect).map(({ name, figure, from }) => (
          <div key={name}>
            <dt>{name}</dt>
            {figure !== '' && <dd>{figure}</dd>}
            <dd className="soft">{from}</dd>
          </div>
        ))}
      </dl>
      {card.sources && card.sources.length > 0 && (
        <>
          <p className="soft">Sources</p>
          <ul>
            {card.sources.map((source) => (
              <li key={source} className="soft">
                {source}
              </li>
            ))}
          </ul>
        </>
      )}
    </details>
  );
}
