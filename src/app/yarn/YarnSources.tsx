import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { rowLengthMm } from '#engine/cloth/rowLength.ts';
import { colourRuns } from '#engine/yarn/colourRepeat.ts';
import { careLines } from './careWords.ts';
import { poolingWords } from './poolingWords.ts';
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
  const system = useTableState((state) => state.preferences.lengthSystem);
  return (
    <details className="yarn-sources">
      <summary>Where its figures come from</summary>
      <dl>
        {sourceRows(card, dialect, system).map(({ name, figure, from }) => (
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

/** How a yarn's colours come again in this cloth. */
export function YarnPooling({ card }: { readonly card: YarnCard }) {
  const { forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const problem = useStore(forecast.state, (state) => state.resultCloth?.problem);
  const takeUp = useStore(forecast.state, (state) => state.result?.readings.weftTakeUp.value);
  const { colourRepeat } = card;
  if (!colourRepeat) return null;
  const row = problem ? problem.rowYarn.findIndex((yarn) => problem.yarns[yarn].strands.includes(card.id)) : -1;
  const pickMm = problem && takeUp !== undefined && row >= 0 ? rowLengthMm(problem, row, takeUp) : undefined;
  return (
    <div className="yarn-pooling">
      <div className="colour-stops" aria-hidden="true">
        {colourRuns(colourRepeat, -colourRepeat.startMm, colourRepeat.lengthMm).map(({ from, to, colour }) => (
          <span key={from} style={{ flexGrow: to - from, background: colour }} />
        ))}
      </div>
      <p className="soft">{poolingWords(colourRepeat, pickMm, system)}</p>
    </div>
  );
}
