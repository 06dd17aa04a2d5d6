import { useMemo } from 'react';
import { useStore } from 'zustand';
import { type FewChanged, fewChanged } from '#app/model/fewChanged.ts';
import { differingRows } from '#app/model/readingRows.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';

/** Of the cloths drawn beside each other, the readings that differ, and nothing else. */
export function KeptTable() {
  const { kept, forecast, samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const drawn = useStore(kept, (state) => state.cloths);
  const few = useMemo(
    () => new Map(drawn.map(({ name, body, trouble }) => [name, trouble ? undefined : fewChanged(sample, body)])),
    [drawn, sample],
  );
  const cloths = drawn.filter(({ name }) => few.get(name) === undefined);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const { lengthSystem, dialect } = useTableState((state) => state.preferences);
  const names = ['On the table', ...cloths.map(({ name }) => name)];
  const all = [readings, ...cloths.map(({ result }) => result?.readings)];
  const rows = differingRows(all, lengthSystem, dialect);
  const waiting = drawn.some(({ result, trouble }) => result === undefined && trouble === undefined);
  return (
    <div className="kept-table" aria-busy={waiting}>
      {rows.length > 0 ? (
        <table>
          <caption>What differs</caption>
          {rows.map((row) => (
            <tbody key={row.name}>
              <tr>
                <th colSpan={2} scope="rowgroup">
                  {row.name} <span className="unit">{row.unit}</span>
                </th>
              </tr>
              {names.map((name, k) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td>{row.texts[k] ?? '…'}</td>
                </tr>
              ))}
            </tbody>
          ))}
        </table>
      ) : (
        (waiting || cloths.length > 0) && (
          <p className="soft">{waiting ? 'The versions are being worked out.' : 'No reading differs.'}</p>
        )
      )}
      {drawn.map(({ name }) => {
        const change = few.get(name);
        return change && <p key={name}>{`${name}: ${fewWords(change)}`}</p>;
      })}
    </div>
  );
}

function fewWords(change: FewChanged): string {
  if (change.kind === 'picks') {
    const count = Math.abs(change.more);
    return `${counted(count, 'pick', 'picks', formatNumber)} ${change.more > 0 ? 'more' : 'fewer'}, all else the same; the length changes by so much, no other reading.`;
  }
  const { changed, of } = change;
  if (changed === 0) return 'no crossing differs, nor any reading of the whole.';
  return `${counted(changed, 'crossing differs', 'crossings differ', formatNumber)} of ${formatNumber(of)}: too few to change a reading of the whole.`;
}
