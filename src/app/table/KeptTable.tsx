import { useStore } from 'zustand';
import { differingRows } from '#app/model/readingRows.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';

/** Of the cloths drawn beside each other, the readings that differ, and nothing else. */
export function KeptTable() {
  const { kept, forecast } = useTable();
  const cloths = useStore(kept, (state) => state.cloths);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const { lengthSystem, dialect } = useTableState((state) => state.preferences);
  const names = ['On the table', ...cloths.map(({ name }) => name)];
  const all = [readings, ...cloths.map(({ result }) => result?.readings)];
  const rows = differingRows(all, lengthSystem, dialect);
  const waiting = cloths.some(({ result, trouble }) => result === undefined && trouble === undefined);
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
        <p className="soft">{waiting ? 'The versions are being worked out.' : 'No reading differs.'}</p>
      )}
    </div>
  );
}
