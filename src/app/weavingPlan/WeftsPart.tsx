import { useMemo } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { longLength } from '#app/plan/planWords.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import { pieceQuantities } from '#document/pieceQuantities.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { WeavingList } from '#document/weavingList.ts';

/** The wefts by the letters that stand for them, and how much of each the shuttles need. */
export function WeftsPart(props: { readonly sample: Sample; readonly wefts: WeavingList['wefts'] }) {
  const { sample, wefts } = props;
  const { forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const dialect = useTableState((state) => state.preferences.dialect);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const failed = useStore(forecast.state, (state) => state.status === 'failed');
  const sums = useMemo(
    () => (cloth && readings && !failed ? pieceQuantities(sample, cloth, readings) : undefined),
    [sample, cloth, readings, failed],
  );
  return (
    <table className="plan-wefts">
      <caption>{word('Weft', dialect)}</caption>
      <thead>
        <tr>
          <th scope="col">letter</th>
          <th scope="col">yarn</th>
          <th scope="col">count</th>
          <th scope="col">{`takes${sums && sums.pieces > 1 ? `, ${sums.pieces} pieces` : ''}`}</th>
        </tr>
      </thead>
      <tbody>
        {wefts.map(({ letter, yarnId }) => {
          const card = sample.yarns[yarnId];
          const metres = sums?.yarns.find((yarn) => yarn.card.id === yarnId)?.weftM;
          return (
            <tr key={letter}>
              <th scope="row">{letter}</th>
              <td>
                <span className="plan-chip" aria-hidden style={{ background: card?.coneColour }} />
                {card?.name ?? yarnId}
              </td>
              <td>{card ? (card.count ?? `${formatNumber(card.tex)} tex`) : ''}</td>
              <td>{metres === undefined ? '' : `≈ ${longLength(metres, system)}`}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
