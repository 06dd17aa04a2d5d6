import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { leastPxPerMm, mostPxPerMm } from '#app/model/preferences.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { focusedKeys, keyActions } from './keyList.ts';

/** A bank card is 85.60 mm wide everywhere (ISO/IEC 7810 ID-1). */
const cardMm = 85.6;

/** Measures the screen against a card, so that true size is life size. */
function ScreenScale() {
  const { ui } = useTable();
  const pxPerMm = useTableState((state) => state.preferences.pxPerMm);
  return (
    <div className="screen-scale">
      <p>
        <label>
          Hold a bank card to the bar and make them equally wide{' '}
          <input
            type="range"
            min={leastPxPerMm}
            max={mostPxPerMm}
            step={0.01}
            value={pxPerMm}
            aria-valuetext={`${(cardMm * pxPerMm).toFixed(0)} px for ${cardMm} mm`}
            onChange={(event) => ui.getState().prefer({ pxPerMm: Number(event.target.value) })}
          />
        </label>
      </p>
      <div className="card-bar" style={{ width: cardMm * pxPerMm }} />
    </div>
  );
}

/** The list of keys, and the switches that belong to the reader: single keys, units, words. */
export function KeysDialog() {
  const { ui } = useTable();
  const shown = useTableState((state) => state.keysShown);
  const preferences = useTableState((state) => state.preferences);
  if (!shown) return null;
  return (
    <ModalDialog title="Keys and words" className="keys-dialog" onClose={() => ui.getState().showKeys(false)}>
      {() => (
        <>
          <div className="dialog-body">
            <div className="keys-lists">
              <table>
                <tbody>
                  {keyActions
                    .filter(({ shown: written }) => written !== '')
                    .map((action) => (
                      <tr key={action.keys}>
                        <td>
                          <kbd>{action.shown}</kbd>
                        </td>
                        <td>{action.does}</td>
                      </tr>
                    ))}
                </tbody>
              </table>
              <table>
                <tbody>
                  {focusedKeys.map((key) => (
                    <tr key={`${key.where} ${key.does}`}>
                      <td>
                        <kbd>{key.shown}</kbd>
                      </td>
                      <td>
                        <span className="soft">{key.where}: </span>
                        {key.does}
                      </td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
            <p>
              <label>
                <input
                  type="checkbox"
                  checked={preferences.keysOn}
                  onChange={(event) => ui.getState().prefer({ keysOn: event.target.checked })}
                />{' '}
                Single keys work (T, 1, 2, 3 …)
              </label>
            </p>
            <p>
              <label>
                Words{' '}
                <select
                  value={preferences.dialect}
                  onChange={(event) => ui.getState().prefer({ dialect: event.target.value === 'us' ? 'us' : 'uk' })}
                >
                  <option value="uk">weft, colour, lifting plan (UK)</option>
                  <option value="us">filling, color, liftplan (US)</option>
                </select>
              </label>
            </p>
            <ScreenScale />
            <p className="soft">Undo reaches back to when this page was opened.</p>
          </div>
          <form method="dialog" className="dialog-foot">
            <button type="submit">Close</button>
          </form>
        </>
      )}
    </ModalDialog>
  );
}
